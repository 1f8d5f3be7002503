import type { Browser, BrowserContext } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { accessible, kiosk, kioskContext, scanned, stands, wearBadge } from './kiosk-page.ts';
import { cachedAddresses, fillDisk, holdFactsBack, makeRoom, onDisk, programKept } from './offline-page.ts';

const AHEAD = 2 * 3_600_000;

let house: TestHouse;
let browser: Browser;
let origin: string;

beforeAll(async () => {
  house = await testHouse(AHEAD);
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), Date.parse('2026-01-01T00:00:00Z'), BY);
  await house.app.actions.recordFacts('P', wire(['CF1', 'CF2', 'CF3', 'CF4', 'CF5', 'CF6'].map((unit, sequence) => register(unit, { sequence }))));
  origin = await house.listen();
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const device = (): Promise<BrowserContext> => kioskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US' });
const arrival = async (unit: string) => (await house.app.actions.unitStory('P', unit)).facts.find(({ kind }) => kind === 'arrive')!;

describe('a kiosk without the network', () => {
  it('opens again as the plant was last known, with its own facts, says so, and sends them later', async () => {
    const context = await device();
    let page = await kiosk(context, `${origin}/P`, 'S1');
    await wearBadge(page, 'badge-7');
    await scanned(page, 'CF1', 'Arrive');
    await page.getByText('in the log').waitFor();
    await programKept(page);

    await context.setOffline(true);
    await page.reload();
    await page.getByText(/As known at \d\d:\d\d, not live\./).waitFor();
    expect(await stands(page)).toBe('CF1');
    await scanned(page, 'CF1', 'Finish');
    await page.getByText('1 not sent yet, kept on this device').waitFor();
    await accessible(page);
    await page.close();
    page = await kiosk(context, `${origin}/P`, 'S2');
    await page.getByText('1 not sent yet, kept on this device').waitFor();
    await scanned(page, 'CF1', 'Arrive');
    expect(await stands(page)).toBe('CF1');
    await page.goto(`${origin}/?start`);
    await page.waitForURL('**/P/station?at=S2');
    await page.getByText('2 not sent yet, kept on this device').waitFor();

    await context.setOffline(false);
    await page.getByText('not sent yet').waitFor({ state: 'detached', timeout: 60_000 });
    const { facts } = await house.app.actions.unitStory('P', 'CF1');
    expect(facts.filter(({ kind }) => kind !== 'register').map(({ kind, counter }) => [kind, counter])).toEqual([['arrive', 1], ['finish', 2], ['arrive', 3]]);
    const cached = await cachedAddresses(page);
    expect(cached).toContain('/index.html');
    expect(cached.filter((path) => path.startsWith('/api') || path.startsWith('/socket.io'))).toEqual([]);
    await context.close();
  });

  it('can be installed: manifest and icons of its own', async () => {
    const manifest = await (await fetch(`${origin}/manifest.webmanifest`)).json() as { start_url: string; display: string; icons: { src: string; sizes: string }[] };
    expect(manifest).toMatchObject({ start_url: '/?start', display: 'standalone' });
    for (const { src } of manifest.icons) expect((await fetch(`${origin}${src}`)).headers.get('content-type')).toMatch(/^image\/(svg\+xml|png)/);
  });
});

describe('a device whose clock is wrong by hours', () => {
  it('has its instants corrected by the server\'s clock, and marked', async () => {
    const context = await device();
    const page = await kiosk(context, `${origin}/P`, 'S1');
    await wearBadge(page, 'badge-7');
    await scanned(page, 'CF2', 'Arrive');
    await page.getByText('in the log').waitFor();
    const fact = await arrival('CF2');
    expect(Math.abs(fact.corrected! - AHEAD)).toBeLessThan(5_000);
    expect(Math.abs(fact.happened - fact.recorded)).toBeLessThan(10_000);
    await page.goto(`${origin}/P/unit/CF2`);
    await page.getByText('device clock 120 min slow, corrected').waitFor();
    await accessible(page);
    await context.close();
  });

  it('has what it stated before it ever heard the server corrected when that is sent, on its disk first', async () => {
    const context = await device();
    let page = await kiosk(context, `${origin}/P`, 'S1');
    await programKept(page);
    await wearBadge(page, 'badge-7');
    await context.setOffline(true);
    // As a device that was only ever given the program.
    await page.evaluate(() => localStorage.removeItem('stationhand-clock'));
    await page.close();
    page = await kiosk(context, `${origin}/P`, 'S1');
    await scanned(page, 'CF3', 'Arrive');
    const [kept] = await onDisk(page);
    expect(kept).toMatchObject({ unsure: 0, version: null });
    expect(kept!.fact.corrected).toBeUndefined();
    await context.setOffline(false);
    await page.getByText('not sent yet').waitFor({ state: 'detached', timeout: 60_000 });
    const fact = await arrival('CF3');
    expect(fact.id).toBe(kept!.fact.id);
    expect(Math.abs(fact.corrected! - AHEAD)).toBeLessThan(5_000);
    expect(fact.happened).toBe(kept!.fact.happened + fact.corrected!);
    await context.close();
  });
});

describe('a device whose disk is full', () => {
  it('says that a scan was not kept, and has every scan that it said it heard', async () => {
    const context = await device();
    const page = await kiosk(context, `${origin}/P`, 'S1');
    await wearBadge(page, 'badge-7');
    const letGo = await holdFactsBack(context);
    const session = await context.newCDPSession(page);
    const used = await page.evaluate(async () => (await navigator.storage.estimate()).usage ?? 0);
    await session.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: used + 4_000_000 });
    await scanned(page, 'CF4', 'Arrive');
    await fillDisk(page);
    await page.keyboard.type('CF5');
    await page.keyboard.press('Enter');
    await page.getByText('NOT kept: the disk of this device is full. Make room, then state it again.').waitFor();
    await accessible(page);
    expect((await onDisk(page)).map(({ fact }) => fact.kind)).toEqual(['arrive']);
    await makeRoom(page);
    await scanned(page, 'CF5', 'Arrive');
    await letGo();
    await page.getByText('not sent yet').waitFor({ state: 'detached', timeout: 60_000 });
    expect((await arrival('CF4')).counter).toBe(1);
    expect((await arrival('CF5')).counter).toBe(2);
    await context.close();
  });
});

describe('a supervisor', () => {
  it('sees which kiosks are behind, with how much and since when, and whose clock is wrong', async () => {
    const [floor, office] = [await device(), await device()];
    const page = await kiosk(floor, `${origin}/P`, 'S3');
    const kiosks = await office.newPage();
    await kiosks.goto(`${origin}/P/kiosks`);
    const row = kiosks.getByRole('row').filter({ has: kiosks.getByRole('rowheader', { name: 'S3' }) });
    await row.getByText('Live').first().waitFor();
    await row.getByText('120 min slow, corrected').waitFor();
    await wearBadge(page, 'badge-7');
    const letGo = await holdFactsBack(floor);
    await scanned(page, 'CF6', 'Arrive');
    await row.getByText('Behind').waitFor();
    await accessible(kiosks);
    const holds = await office.newPage();
    await holds.goto(`${origin}/P/holds`);
    await holds.getByText(/kiosks? (is|are) behind/).waitFor();
    await accessible(holds);
    const { kiosks: told } = await (await fetch(`${origin}/api/plants/P/kiosks`, { headers: (await house.enter()).admin.headers })).json() as { kiosks: { station: string; unsent: number }[] };
    expect(told.filter(({ station }) => station === 'S3')).toMatchObject([{ unsent: 1, connected: true }]);
    await letGo();
    await row.getByText('Behind').waitFor({ state: 'detached', timeout: 60_000 });
    await floor.close();
    await row.getByText('Not live').waitFor();
    await office.close();
  });
});
