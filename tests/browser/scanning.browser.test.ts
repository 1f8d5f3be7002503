import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { codeFilm } from '../support/code-film.ts';
import { accessible, kiosk, kioskContext, scan, stands, wearBadge } from './kiosk-page.ts';
import { programKept } from './offline-page.ts';

const VIN = '1M8GDM9AXKP042788';

let house: TestHouse;
let browser: Browser;
let folder: string;
let origin: string;

beforeAll(async () => {
  house = await testHouse();
  folder = await mkdtemp(join(tmpdir(), 'stationhand-film-'));
  const film = join(folder, 'camera.y4m');
  await writeFile(film, await codeFilm([{ symbology: 'DataMatrix', text: 'badge-42' }, { symbology: 'Code39', text: `I${VIN}` }]));
  browser = await openBrowser(['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream', `--use-file-for-fake-video-capture=${film}`]);
  await house.app.actions.loadPlant(wholePlant(), Date.parse('2026-01-01T00:00:00Z'), BY);
  await house.app.actions.recordFacts('P', wire([register('CF1'), stated(-999, 'bindVin', { unit: 'CF1', vin: VIN }), register('CF2', { sequence: 2 })]));
  origin = await house.listen();
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
  await rm(folder, { recursive: true, force: true });
});

const device = (): Promise<BrowserContext> => kioskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US', permissions: ['camera'] });

/** Scans until `answer` stands on the screen: on a busy machine the keys may come as slowly as a person's, and then nothing is heard. */
async function scanFor(page: Page, code: string, answer: string): Promise<void> {
  for (let tries = 0; tries < 6; tries++) {
    await scan(page, code);
    if (await page.getByText(answer).waitFor({ timeout: 4_000 }).then(() => true, () => false)) return;
  }
  throw new Error(`no scan of ${code} was answered with ${answer}`);
}

describe('the hand scanner', () => {
  it('puts on the badge that it reads, asks about what it misread, and moves the unit whose VIN it reads', async () => {
    const context = await device();
    const page = await kiosk(context, `${origin}/P`, 'S1');
    await scanFor(page, 'badge-7', 'Badge badge-7');
    expect(await page.getByLabel('Badge').inputValue()).toBe('badge-7');

    await scanFor(page, `I${VIN.replace('42788', '42778')}`, 'its check digit is wrong. Scan it again.');
    await accessible(page);
    expect(await stands(page)).toBe('No unit is here');
    await scanFor(page, 'COMP-AX-77', 'COMP-AX-77 is the label of a component. Nothing was stated.');

    await scanFor(page, `I${VIN}`, 'Heard: Arrive CF1');
    await page.getByText('in the log').waitFor();
    expect(await stands(page)).toBe('CF1');
    await context.close();
  });

  it('has its way when a person says that the code is right: whatever stands there is recorded', async () => {
    const context = await device();
    const page = await kiosk(context, `${origin}/P`, 'S2');
    await wearBadge(page, 'badge-7');
    await scanFor(page, '1M8GDM9A0KP042788', 'its check digit is wrong. Scan it again.');
    await page.getByRole('button', { name: 'It is right: state 1M8GDM9A0KP042788' }).click();
    await page.getByText('Heard: Arrive 1M8GDM9A0KP042788').waitFor();
    await page.getByText('in the log').waitFor();
    await context.close();
  });
});

describe('the camera of a tablet', () => {
  it('reads codes without the network, by what comes with the program, and asks no other host', async () => {
    const context = await device();
    const hosts = new Set<string>();
    context.on('request', (request) => void hosts.add(new URL(request.url()).host));
    let page = await kiosk(context, `${origin}/P`, 'S3');
    await programKept(page);
    await context.setOffline(true);
    await page.close();
    page = await kiosk(context, `${origin}/P`, 'S3');
    await page.getByRole('button', { name: 'Scan with the camera' }).click();
    await page.getByText('Badge badge-42').waitFor();
    await page.getByText('Heard: Arrive CF1').waitFor();
    await accessible(page);
    await page.getByRole('button', { name: 'Close the camera' }).click();
    expect([...hosts]).toEqual([new URL(origin).host]);
    await context.close();
  });
});
