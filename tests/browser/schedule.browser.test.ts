import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { UNIT_COLUMNS } from '../../server/contract/units-csv.ts';
import { BY, testHouse, type TestHouse, wholePlant } from '../actions/house.ts';
import { accessibilityProblems } from '../support/accessible.ts';
import { contextOf, deskContext } from './kiosk-page.ts';
import { openBrowser } from '../support/browser.ts';

let house: TestHouse;
let browser: Browser;
let page: Page;
let base: string;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), Date.parse('2026-01-01T00:00:00Z'), BY);
  base = `${await house.listen()}/P`;
  const context = await deskContext(browser, house, { viewport: { width: 1366, height: 768 }, locale: 'en-US', acceptDownloads: true });
  page = await context.newPage();
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const stateOf = async (unit: string) => (await house.app.actions.snapshot('P')).units.find(({ state }) => state.unit === unit)?.state;
const choose = (...rows: string[]): Promise<void> =>
  page.getByLabel('File of units').setInputFiles({ name: 'units.csv', mimeType: 'text/csv', buffer: Buffer.from([UNIT_COLUMNS.join(','), ...rows].join('\n')) });

describe('the schedule', () => {
  it('says to import units when there are none, and gives the template', async () => {
    await page.goto(`${base}/schedule`);
    await page.getByText('No unit is scheduled yet.').waitFor();
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Download the empty template' }).click()]);
    expect(readFileSync((await download.path())!, 'utf8').trim()).toBe(UNIT_COLUMNS.join(','));
  });

  it('names a bad row by line and column, and takes the good rows only when told to', async () => {
    await choose('A1,M,,SO-1,Dealer 01,1,,,2026-12-07', 'A2,Z,,SO-2,Dealer 02,two,,,2026-12-08');
    await page.getByText('Wrong in the file: 2. Nothing is imported yet.').waitFor();
    const rows = await page.locator('sh-import-panel tbody tr').evaluateAll((lines) => lines.map((line) => [...line.querySelectorAll('td')].slice(0, 2).map((cell) => cell.textContent)));
    expect(rows).toEqual([['3', 'model'], ['3', 'sequence']]);
    expect(await accessibilityProblems(page)).toEqual([]);
    expect(await stateOf('A1')).toBeUndefined();
    await page.getByRole('button', { name: 'Import the good rows (1)' }).click();
    await page.getByText('Imported from units.csv: 1.').waitFor();
    await page.getByRole('link', { name: 'A1' }).waitFor();
    expect(await stateOf('A2')).toBeUndefined();
  });

  it('takes a sound file whole, and changes a unit that is known', async () => {
    await choose('A1,M,,SO-1,Dealer 09,1,,,2026-12-07', 'A2,M,,SO-2,Dealer 02,2,2026-12-01 06:00,,2026-12-08');
    await page.getByRole('button', { name: 'Import all rows (2)' }).click();
    await page.getByRole('link', { name: 'A2' }).waitFor();
    expect((await stateOf('A1'))?.dealer).toBe('Dealer 09');
    await page.getByLabel('Find serial, order, dealer').fill('dealer 02');
    await page.getByRole('link', { name: 'A1' }).waitFor({ state: 'detached' });
    expect(await accessibilityProblems(page)).toEqual([]);
  });

  it('tells who may not change it that the server did not take the change, there and beside the unit, until that is read', async () => {
    const inspector = await contextOf(browser, await (await house.enter()).person('badge-5', ['inspector']), new URL(base).origin, { viewport: { width: 1366, height: 768 }, locale: 'en-US' });
    const own = await inspector.newPage();
    await own.goto(`${base}/unit/A2`);
    await own.getByText('Change', { exact: true }).click();
    await own.getByLabel('To', { exact: true }).fill('2026-12-10');
    await own.getByLabel('Why').fill('a wish');
    await own.getByRole('button', { name: 'State the change' }).click();
    await own.getByRole('alert').getByText(/Promise changed A2/).waitFor();
    expect(await accessibilityProblems(own)).toEqual([]);
    await own.goto(`${base}/schedule`);
    await own.getByRole('button', { name: 'I have read it' }).click();
    await own.getByRole('alert').waitFor({ state: 'detached' });
    expect((await stateOf('A2'))?.promise).toBe('2026-12-08');
    await inspector.close();
  });

  it('changes a promise as a fact, with who and why, and cancels a unit', async () => {
    await page.getByRole('link', { name: 'A2' }).click();
    await page.getByText('Change', { exact: true }).click();
    // What is stated at a desk is stated by who is signed in there.
    expect(await page.getByLabel('Badge').count()).toBe(0);
    await page.getByLabel('To', { exact: true }).fill('2026-12-11');
    await page.getByLabel('Why').fill('axle late');
    await page.getByRole('button', { name: 'State the change' }).click();
    await page.getByText('Stated: Promised ship day.').waitFor();
    await expect.poll(async () => (await stateOf('A2'))?.promise, { timeout: 20_000 }).toBe('2026-12-11');
    expect(await stateOf('A2')).toMatchObject({ firstPromise: '2026-12-08', promiseMoved: { who: 'badge-7', reason: 'axle late' } });
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.goto(`${base}/release?unit=A1`);
    await page.locator('sh-release-screen summary').click();
    await page.getByLabel('Truck').fill('Carrier B');
    await page.getByLabel('Why it goes without a release').fill('The dealer takes it as it is');
    await page.getByRole('button', { name: 'Ship it without a release' }).click();
    await expect.poll(async () => await stateOf('A1'), { timeout: 20_000 }).toBeUndefined();
    await page.goto(`${base}/unit/A1`);
    await page.getByText('Change', { exact: true }).click();
    await page.getByLabel('Why').fill('refused by the dealer');
    await page.getByRole('button', { name: 'State the change' }).click();
    await expect.poll(async () => (await stateOf('A1'))?.stage, { timeout: 20_000 }).toBe('yard');
    await page.goto(`${base}/unit/A2`);
    await page.getByText('Change', { exact: true }).click();
    await page.getByRole('combobox').selectOption('cancel');
    await page.getByLabel('Why').fill('order withdrawn');
    await page.getByRole('button', { name: 'State the change' }).click();
    await expect.poll(async () => await stateOf('A2'), { timeout: 20_000 }).toBeUndefined();
  });
});
