import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { qualityPlant } from '../support/given-quality.ts';
import { accessible, deskContext } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let base: string;
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  const { zones, checks, partKinds, releaseItems, lines, models } = qualityPlant();
  await house.app.actions.loadPlant(wholePlant({ zones, checks, partKinds, releaseItems, lines, models, vin: { manufacturer: '0ZZ', descriptors: { M: 'TB242' }, modelYear: 2026, plant: '0' } }), 0, BY);
  await house.app.actions.recordFacts('P', wire([
    register('A1'), stated(0, 'arrive', { unit: 'A1', station: 'A' }), register('A2'),
    stated(1, 'findWork', { unit: 'A1', what: 'Screw missing', zone: 'wall', severity: 'safety', belongsTo: 'A' }),
  ]));
  base = `${await house.listen()}/P`;
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

it('finds a unit and opens its traveler for the printer', async () => {
  const page = await (await deskContext(browser, house)).newPage();
  await page.goto(`${base}/paper`);
  await page.getByText('A2').first().waitFor();
  await page.getByLabel('Serial, model or dealer').fill('a1');
  await page.getByRole('button', { name: 'Print traveler A2' }).waitFor({ state: 'detached' });
  await accessible(page);
  const [opened] = await Promise.all([page.waitForEvent('popup'), page.getByRole('button', { name: 'Print traveler A1' }).click()]);
  await opened.getByRole('heading', { name: 'A1' }).waitFor();
  expect(await opened.locator('img').count()).toBe(2);
  await page.getByLabel('Serial, model or dealer').fill('nothing');
  await page.getByText('No unit of that name.').waitFor();
});

it('shows on the Unit screen what is open, until when it can be reached, and what is missing for the release', async () => {
  const page = await (await deskContext(browser, house)).newPage();
  await page.goto(`${base}/unit/A1`);
  await page.getByText('Screw missing').first().waitFor();
  await page.getByText(/B covers Wall cavity in \d+ min at standard/).waitFor();
  expect(await page.locator('sh-unit-screen ol li').allTextContents()).toEqual([
    'Fix: Screw missing – A', 'Record the number of: Part AXLE – A', 'Make the check: Check LEAK – B (not made)', 'Make the check: Check FINAL – C (not made)',
    'Bind a right VIN ', 'Check the certification label: Check LABEL – C (not made)', 'Settle: Papers',
  ]);
  await accessible(page);
});

it('explains a wrong VIN while it is typed, to the character, and offers the next', async () => {
  const page = await (await deskContext(browser, house)).newPage();
  await page.goto(`${base}/unit/A1`);
  await page.getByText('Change', { exact: true }).click();
  await page.locator('select[name=kind]').selectOption('bindVin');
  await page.locator('input[name=to]').fill('1M8GDM9AXKPO42788');
  await page.getByText('Character 12 is O, which no VIN has: look again, is it 0?').waitFor();
  await accessible(page);
  await page.getByRole('button', { name: /Take the next: 0ZZTB242/ }).click();
  await page.getByText('Nothing wrong in its form.').waitFor();
});
