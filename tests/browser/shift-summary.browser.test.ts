import { readFile } from 'node:fs/promises';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoPlant, loadDemo } from '../../seed/load-demo.ts';
import type { ShiftSummaryReply } from '../../server/contract/shift-summary.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { accessible, deskContext } from './kiosk-page.ts';

const SIZES = { laptop: [1366, 768], tablet: [820, 1180], phone: [390, 844] } as const;

let house: TestHouse;
let browser: Browser;
let origin: string;

/** The demo plant, a plant with nothing (P), and one in which everything is open at once (FULL). */
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  const { actions } = house.app;
  const now = Date.now();
  await loadDemo({
    loadPlant: async (document, validFrom) => void (await actions.loadPlant(document, validFrom, BY)),
    recordFacts: async (plant, facts) => (await actions.recordFacts(plant, facts)).replies.map(({ outcome }) => ({ repeated: outcome === 'repeated' })),
  }, { plant: demoPlant(now), now, seed: 7, speed: 1 });
  await actions.loadPlant(wholePlant(), now - 90 * 86_400_000, BY);
  await actions.loadPlant(wholePlant({ code: 'FULL' }), now - 90 * 86_400_000, BY);
  const recent = { happened: now - 60_000 };
  const serials = Array.from({ length: 30 }, (_, i) => `CF${i}`);
  const full = serials.flatMap((unit, i) => [
    register(unit, { sequence: i }), stated(0, 'arrive', { unit, station: 'S1' }, { happened: now - 3_600_000 + i * 1_000 }),
    stated(0, 'leaveShort', { unit, station: 'S1', items: [{ what: `Part ${i}`, owner: 'Stores', fitAt: 'S3', expected: now }] }, { happened: now - 1_800_000 + i * 1_000 }),
    stated(0, 'openHold', { unit, reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' }, recent),
    ...(i % 2 ? [stated(0, 'pullOff', { unit, reason: 'Damage to repair', to: null }, recent)] : []), stated(0, 'openStop', { station: `S${1 + (i % 3)}`, reason: 'Tool broken', note: '' }, recent),
    stated(0, 'note', { line: 'MAIN', text: `Note ${i}` }, recent), stated(0, 'openAction', { line: 'MAIN', what: `Action ${i}`, owner: 'Stores', due: now + i }, recent),
  ]);
  const said = Array.from({ length: 12 }, (_, i) => stated(0, 'openAction', { line: 'MAIN', what: `Closed ${i} of the things that were to be done`, owner: 'Maintenance', due: now }, recent));
  const more = [
    ...said, ...said.map(({ id }) => stated(0, 'closeAction', { line: 'MAIN', action: id, note: 'done and tried' }, { happened: now - 30_000 })),
    ...Array.from({ length: 12 }, (_, i) => stated(0, 'note', { line: 'MAIN', text: `Note ${i} of the shift before, which says more than what fits on one line of the page` }, { happened: now - 86_400_000 })),
    ...['S1', 'S2', 'S3'].map((station) => stated(0, 'heads', { station, heads: 0 }, recent)), ...serials.map((_, i) => stated(0, 'loan', { station: 'S1', from: `S${2 + (i % 2)}`, heads: 1, until: null }, recent)),
  ];
  await actions.recordFacts('FULL', wire([...full, ...more]));
  origin = await house.listen();
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

async function opened(size: keyof typeof SIZES, language = 'en', theme = 'light'): Promise<BrowserContext> {
  const [width, height] = SIZES[size];
  const context = await deskContext(browser, house, { viewport: { width, height }, acceptDownloads: true, locale: 'en-US' });
  await context.addInitScript(`localStorage.setItem('stationhand-language', '${language}'); localStorage.setItem('stationhand-theme', '${theme}');`);
  return context;
}

async function summaryPage(context: BrowserContext, plant: string, query = ''): Promise<Page> {
  const page = await context.newPage();
  await page.goto(`${origin}/${plant}/summary${query}`);
  await page.locator('sh-summary-screen .columns').waitFor();
  return page;
}

const pagesOf = async (page: Page, format: string): Promise<number> => (await page.pdf({ format })).toString('latin1').match(/\/Type\s*\/Page[^s]/g)?.length ?? 0;
const shownBy = (page: Page, heading: string): Promise<string> => page.getByRole('region', { name: heading, exact: true }).innerText();
const told = async (plant: string): Promise<ShiftSummaryReply> => house.app.actions.shiftSummary(plant, 'MAIN', { date: null, shift: null });

async function leaveNote(page: Page, text: string): Promise<void> {
  await page.getByText('Leave a note', { exact: true }).click();
  const form = page.locator('form').filter({ hasText: 'What the next shift must know' });
  await form.getByLabel('What the next shift must know').fill(text);
  await form.getByLabel('Badge').fill('badge-7');
  await form.getByRole('button', { name: 'Leave the note' }).click();
}

describe('the shift summary', () => {
  it.each([['laptop', 'en', 'light'], ['tablet', 'es', 'light'], ['phone', 'es', 'dark'], ['laptop', 'en', 'dark']] as const)('fits a %s in %s, %s, and is accessible with every form open', async (size, language, theme) => {
    const context = await opened(size, language, theme);
    const page = await summaryPage(context, 'COBBLE');
    await page.locator('sh-summary-screen').evaluate((screen) => screen.shadowRoot!.querySelectorAll('details').forEach((details) => (details.open = true)));
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    await accessible(page);
    await context.close();
  });

  it.each([['COBBLE', ''], ['FULL', ''], ['P', '']])('of plant %s prints on one page, A4 and Letter, in both languages and off a dark screen', async (plant) => {
    for (const language of ['en', 'es']) {
      const context = await opened('laptop', language, language === 'es' ? 'dark' : 'light');
      const page = await summaryPage(context, plant);
      expect([await pagesOf(page, 'A4'), await pagesOf(page, 'Letter')]).toEqual([1, 1]);
      await context.close();
    }
  });

  it('tells the counts in words, the delay with its causes in order, and what was said', async () => {
    const context = await opened('laptop');
    const page = await summaryPage(context, 'COBBLE');
    expect(await shownBy(page, 'Counts')).toMatch(/Off the line \d+ this shift, of [\d.]+ planned by now\..* of [\d.]+ planned by now, ([\d.]+ (ahead of|behind) plan|on plan)\./s);
    expect(await shownBy(page, 'Line delay')).toMatch(/−?\d+ min: −?\d+ min lost so far, −?\d+ min in the pipe\./);
    expect(await shownBy(page, 'Open stops')).toContain('SW10 Sidewall, road side');
    expect(await shownBy(page, 'Actions carried')).toMatch(/^Actions carried\s+Overdue\s*Get a second jig for the entry doors, Engineering/);
    expect(await shownBy(page, 'Notes')).toContain('Forklift 3 is away for service');
    await context.close();
  });

  it('leads to other shifts by the address, without forms where the shift is past', async () => {
    const context = await opened('laptop');
    const page = await summaryPage(context, 'COBBLE');
    const heading = await page.locator('h1').innerText();
    await page.getByRole('button', { name: 'Shift before' }).click();
    await page.getByText('What is said now belongs to a later shift').waitFor();
    expect(new URL(page.url()).search).toMatch(/line=MAIN&date=\d{4}-\d\d-\d\d&shift=Day/);
    expect(await page.getByText('Leave a note', { exact: true }).count()).toBe(0);
    const before = await page.locator('h1').innerText();
    await page.reload();
    await page.locator('h1').waitFor();
    expect(await page.locator('h1').innerText()).toBe(before);
    await page.getByRole('button', { name: 'Next shift' }).click();
    await page.getByRole('heading', { name: heading }).waitFor();
    await page.getByRole('combobox', { name: 'Line' }).selectOption('PDI');
    await page.getByRole('heading', { name: /^Pre-delivery inspection/ }).waitFor();
    await context.close();
  });

  it('of a plant with nothing says so, and takes its first note and action', async () => {
    const context = await opened('laptop');
    const page = await summaryPage(context, 'P');
    for (const words of ['No stop is open.', 'No hold is open.', 'No unit is off the line.', 'No unit lacks anything.', 'No action is open.', 'No unit was released to the line.', 'No head is missing.']) await page.getByText(words).waitFor();
    await accessible(page);
    await leaveNote(page, 'Hoist 2 is slow');
    await page.getByText('Hoist 2 is slow').waitFor();
    await page.getByText('Open an action').click();
    await page.getByLabel('What is to be done').fill('Mend hoist 2');
    await page.getByLabel('Owner').fill('Maintenance');
    await page.getByLabel('Due').fill('2026-01-02T06:30');
    await page.getByRole('button', { name: 'Open the action' }).click();
    await page.getByRole('listitem').filter({ hasText: 'Mend hoist 2' }).getByText('Overdue').waitFor();
    await expect.poll(async () => (await told('P')).told?.carried, { timeout: 10_000 }).toMatchObject([{ what: 'Mend hoist 2', owner: 'Maintenance', due: Date.parse('2026-01-02T06:30:00Z'), who: 'badge-7' }]);
    await page.getByRole('listitem').filter({ hasText: 'Mend hoist 2' }).locator('summary').click();
    await page.getByLabel('What was done').fill('new brake');
    await page.getByRole('button', { name: 'Close the action' }).click();
    await page.getByText('Closed in this shift').waitFor();
    await expect.poll(async () => (await told('P')).told?.closed, { timeout: 10_000 }).toMatchObject([{ what: 'Mend hoist 2', closed: { who: 'badge-7', note: 'new brake' } }]);
    expect((await told('P')).told).toMatchObject({ carried: [], notes: [{ text: 'Hoist 2 is slow', who: 'badge-7' }] });
    await context.close();
  });

  it('without the server keeps what it showed, and what is said on it until it is sent', async () => {
    const context = await opened('laptop');
    const page = await summaryPage(context, 'FULL');
    await context.setOffline(true);
    await leaveNote(page, 'Said without the server');
    await page.getByText('Said without the server').waitFor();
    await page.getByText('kept on this device until it is sent').waitFor();
    await page.getByText('1 not sent yet, kept on this device').waitFor();
    await accessible(page);
    expect((await told('FULL')).told?.notes.map(({ text }) => text)).not.toContain('Said without the server');
    await context.setOffline(false);
    await expect.poll(async () => (await told('FULL')).told?.notes.map(({ text }) => text), { timeout: 40_000 }).toContain('Said without the server');
    await page.getByText('kept on this device until it is sent').waitFor({ state: 'detached', timeout: 40_000 });
    expect(await page.getByText('Said without the server').count()).toBe(1);
    await context.close();
  });

  it('gives its tables as files', async () => {
    const context = await opened('laptop');
    const page = await summaryPage(context, 'COBBLE');
    await page.getByText('Files', { exact: true }).click();
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Causes of line delay CSV' }).click()]);
    const lines = (await readFile((await download.path())!, 'utf8')).trim().split('\r\n');
    expect(lines[0]).toBe('kind,reason,station,station_name,units,times,line_delay,local,share,cumulative_share');
    expect(lines.length).toBeGreaterThan(2);
    await context.close();
  });

  it('answers an address that nobody can know with what is wrong', async () => {
    const context = await opened('laptop');
    const page = await context.newPage();
    await page.goto(`${origin}/P/summary?line=NONE`);
    await page.getByRole('alert').filter({ hasText: 'The plant has no line with this code.' }).waitFor();
    await page.goto(`${origin}/P/summary?date=2026-06-01&shift=Night`);
    await page.getByRole('alert').filter({ hasText: 'There is no shift Night on 2026-06-01.' }).waitFor();
    await page.getByRole('button', { name: 'Shift now' }).click();
    await page.locator('.columns').waitFor();
    await context.close();
  });
});
