import AxeBuilder from '@axe-core/playwright';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';

let house: TestHouse;
let browser: Browser;
let base: string;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), Date.parse('2026-01-01T00:00:00Z'), { who: 'office-1', device: 'desk-1' });
  await house.app.actions.recordFacts('P', wire([register('CF1', { promise: '2026-06-05', dealer: 'Dealer 01' }), register('CF2', { sequence: 2, promise: '2099-01-01' })]));
  await house.app.fastify.listen({ host: '127.0.0.1', port: 0 });
  const address = house.app.fastify.server.address();
  base = `http://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

async function kiosk(context: BrowserContext, station: string): Promise<Page> {
  const page = await context.newPage();
  await page.goto(`${base}/station?at=${station}`);
  await page.getByLabel('Badge').waitFor();
  return page;
}

/** A hand scanner: keys far faster than a person types, ended by Enter. */
async function scan(page: Page, code: string): Promise<void> {
  await page.keyboard.type(code);
  await page.keyboard.press('Enter');
}

const stands = (page: Page): Promise<string | null> => page.locator('sh-station-screen .serial').first().textContent();

async function accessible(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([]);
}

describe('a day on the floor', () => {
  it('scans a unit through stations, holds it, shows that elsewhere, and keeps what is scanned without a network', async () => {
    const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, locale: 'en-US' });
    const page = await kiosk(context, 'S1');
    const holds = await context.newPage();
    await holds.goto(`${base}/holds`);
    await holds.getByText('No hold is open.').waitFor();

    await page.bringToFront();
    await scan(page, 'CF1');
    await page.getByText('Scan or type your badge first').waitFor();
    await page.getByLabel('Badge').fill('badge-7');
    await page.getByLabel('Badge').blur();
    await scan(page, 'CF1');
    await page.getByText('Heard: Arrive CF1').waitFor();
    expect(await stands(page)).toBe('CF1');

    await page.getByRole('button', { name: 'Hold', exact: true }).click();
    await page.getByRole('button', { name: 'Part missing' }).click();
    await holds.getByText('Part missing').waitFor({ timeout: 3_000 });
    await accessible(holds);
    await accessible(page);
    await page.getByRole('button', { name: 'Clear hold' }).click();
    await holds.getByText('No hold is open.').waitFor({ timeout: 3_000 });

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
    const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, locale: 'en-US', acceptDownloads: true });
    const page = await context.newPage();
    await page.goto(`${base}/late`);
    await page.getByRole('link', { name: 'CF1' }).waitFor();
    expect(await page.locator('sh-late-screen tr.unit').count()).toBe(1);
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Download CSV' }).click()]);
    const text = await (await import('node:fs/promises')).readFile((await download.path())!, 'utf8');
    const [header = '', ...rows] = text.trim().split('\r\n');
    const cell = (row: string, column: string): string => row.split(',')[header.split(',').indexOf(column)] ?? '';
    const shown = await page.locator('sh-late-screen tr.unit').evaluateAll((lines) => lines.map((line) => [...line.querySelectorAll<HTMLElement>('th, td')].map((cell) => cell.innerText.trim())));
    expect(rows.map((row) => cell(row, 'serial'))).toEqual(shown.map(([unit = '']) => unit.split('\n')[0]));
    expect(rows.map((row) => [cell(row, 'dealer'), cell(row, 'promise'), cell(row, 'calendar_days_late')])).toEqual(shown.map((cells) => [cells[1], cells[2], cells.at(-1)]));
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
    const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, locale: 'en-US' });
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
    const context = await browser.newContext({ viewport: { width: 1920, height: 1080 }, locale: 'en-US' });
    const page = await context.newPage();
    await page.goto(`${base}/board`);
    await page.getByText('CF1').first().waitFor();
    await accessible(page);
    await page.getByRole('button', { name: 'Español' }).click();
    await page.getByRole('link', { name: 'Unidades atrasadas' }).waitFor();
    await page.goto(`${base}/nowhere`);
    await page.getByText('Esta página no existe.').waitFor();
    await context.close();
  });
});
