import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { accessible, kiosk, lateFile, scan, stands, wearBadge, deskContext, kioskContext } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let base: string;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), Date.parse('2026-01-01T00:00:00Z'), { who: 'office-1', device: 'desk-1' });
  await house.app.actions.recordFacts('P', wire([register('CF1', { promise: '2026-06-05', dealer: 'Dealer 01' }), register('CF2', { sequence: 2, promise: '2099-01-01' })]));
  base = `${await house.listen()}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

describe('a day on the floor', () => {
  it('scans a unit through stations, holds it, shows that elsewhere, and keeps what is scanned without a network', async () => {
    const context = await kioskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US' });
    const page = await kiosk(context, base, 'S1');
    const holds = await context.newPage();
    await holds.goto(`${base}/holds`);
    await holds.getByText('No hold is open.').waitFor();

    await page.bringToFront();
    await scan(page, 'CF1');
    await page.getByText('Scan or type your badge first').waitFor();
    await wearBadge(page, 'badge-7');
    await scan(page, 'CF1');
    await page.getByText('Heard: Arrive CF1').waitFor();
    expect(await stands(page)).toBe('CF1');

    await page.getByRole('button', { name: 'Hold', exact: true }).click();
    await page.getByRole('button', { name: 'Part missing' }).click();
    await holds.getByText('Part missing').waitFor();
    await accessible(holds);
    await accessible(page);
    await page.getByRole('button', { name: 'Clear hold' }).click();
    await holds.getByText('No hold is open.').waitFor();

    await scan(page, 'CF1');
    await page.getByText('Heard: Finish CF1').waitFor();
    await page.goto(`${base}/station?at=S2`);
    await page.getByRole('button', { name: 'Arrive CF1' }).first().waitFor();
    await context.setOffline(true);
    await scan(page, 'CF1');
    await page.getByText('Heard: Arrive CF1').waitFor();
    await page.getByText('not sent yet, kept on this device').waitFor();
    expect(await stands(page)).toBe('CF1');
    await context.setOffline(false);
    await page.getByText('not sent yet').waitFor({ state: 'detached', timeout: 60_000 });
    await expect.poll(async () => (await house.app.actions.snapshot('P')).units.find(({ state }) => state.unit === 'CF1')?.state.place?.station, { timeout: 10_000 }).toBe('S2');
    await context.close();
  });

  it('finds the late unit, and the CSV says the same as the screen', async () => {
    const context = await deskContext(browser, house, { viewport: { width: 1366, height: 768 }, locale: 'en-US', acceptDownloads: true });
    const page = await context.newPage();
    await page.goto(`${base}/late`);
    await page.getByRole('link', { name: 'CF1' }).waitFor();
    expect(await page.locator('sh-late-screen tr.unit').count()).toBe(1);
    const { rows, shown } = await lateFile(page);
    expect(rows.map(({ serial }) => serial)).toEqual(shown.map(([unit = '']) => unit.split('\n')[0]));
    expect(rows.map((row) => [row['dealer'], row['promise'], row['calendar_days_late']])).toEqual(shown.map((cells) => [cells[1], cells[2], cells.at(-1)]));
    await accessible(page);
    await page.getByRole('link', { name: 'CF1' }).click();
    await page.getByRole('heading', { name: 'CF1' }).waitFor();
    await page.getByRole('heading', { name: 'Visits, in working minutes' }).waitFor();
    await accessible(page);
    await page.goto(`${base}/unit/NOBODY`);
    await page.getByText('The plant has no unit NOBODY.').waitFor();
    await context.close();
  });

  it('names an unknown unit and clears a stop on Holds and stops', async () => {
    await house.app.actions.recordFacts('P', wire([stated(5, 'arrive', { unit: 'CF-TWO', station: 'S1' }), stated(6, 'openStop', { station: 'S1', reason: 'Tool broken', note: '' })]));
    const context = await deskContext(browser, house, { viewport: { width: 1366, height: 768 }, locale: 'en-US' });
    const page = await context.newPage();
    await page.goto(`${base}/holds`);
    await page.getByLabel('It is unit').fill('CF2');
    await page.getByRole('button', { name: 'State it' }).click();
    await page.getByText('Every scanned unit is known.').waitFor();
    await page.getByRole('button', { name: 'Clear stop' }).click();
    await page.getByText('No stop is open.').waitFor();
    const { units } = await house.app.actions.snapshot('P');
    expect(units.find(({ state }) => state.unit === 'CF2')?.state.place?.station).toBe('S1');
    await context.close();
  });

  it('draws the board in English and Spanish, and takes a bad address without harm', async () => {
    const context = await deskContext(browser, house, { viewport: { width: 1920, height: 1080 }, locale: 'en-US' });
    const page = await context.newPage();
    await page.goto(`${base}/board`);
    await page.getByText('CF1').first().waitFor();
    await accessible(page);
    await page.getByRole('button', { name: 'Español' }).click();
    await page.getByText('Embarque').waitFor();
    await page.goto(`${base}/nowhere`);
    await page.getByText('Esta página no existe.').waitFor();
    await context.close();
  });
});
