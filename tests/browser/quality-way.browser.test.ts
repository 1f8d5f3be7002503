import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { aCheck, aPart, measured, qualityPlant, yesNo } from '../support/given-quality.ts';
import { accessible, contextOf } from './kiosk-page.ts';

const CAUTION = 'Pressurised cabin: doors open outwards.';
let house: TestHouse;
let browser: Browser;
let context: BrowserContext | undefined;
let page: Page;
let base: string;
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser(['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream']);
  const { zones, lines, models } = qualityPlant();
  const leak = aCheck('LEAK', 'C', { name: 'Leak test', caution: CAUTION, zones: ['wall'], items: [measured('pressure', 120, 250, false), { ...yesNo('seams'), text: 'No bubbles at any seam' }] });
  await house.app.actions.loadPlant(wholePlant({
    zones, lines, models, checks: [leak], partKinds: [aPart('HEATER', 'A', { name: 'Water heater' }), aPart('TIRE', 'A', { name: 'Tyre', format: 'dotTin' })], releaseItems: [{ code: 'PAPERS', name: 'Papers' }],
  }), 0, BY);
  const ago = (s: number) => ({ happened: Date.now() - s * 1_000 });
  await house.app.actions.recordFacts('P', wire([register('CF1'), register('CF2'), stated(0, 'arrive', { unit: 'CF1', station: 'A' }, ago(60))]));
  base = `${await house.listen()}/P`;
  await signIn('badge-7');
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

/** Another person sits down at a desk, signed in. */
async function signIn(badge: string): Promise<void> {
  await context?.close();
  context = await contextOf(browser, await (await house.enter()).person(badge), base, { viewport: { width: 1280, height: 800 }, locale: 'en-US', hasTouch: true });
  page = await context.newPage();
}

const touch = (name: string | RegExp): Promise<void> => page.getByRole('button', { name }).first().click();
const reads = (words: string | RegExp) => page.getByText(words).first().waitFor();
const state = async () => (await house.app.actions.unitStory('P', 'CF1')).state;
const fill = async (label: string | RegExp, value: string): Promise<void> => {
  await page.getByLabel(label).first().fill(value);
  await page.getByLabel(label).first().blur();
};
const floor = (kind: 'arrive' | 'finish' | 'leave', station: string) => house.app.actions.recordFacts('P', wire([stated(0, kind, { unit: 'CF1', station }, { happened: Date.now() })]));

it('records the water heater and a tyre at their station, the tyre by the form of its number', async () => {
  await page.goto(`${base}/parts?unit=CF1&at=A`);
  await page.getByLabel('Badge').waitFor();
  await fill('Number', 'WH-000417');
  await touch(/^Record/);
  await expect.poll(async () => (await state()).parts).toMatchObject([{ part: 'HEATER', number: 'WH-000417' }]);
  await fill('Number', 'DOT 0XX 123456 5326');
  await reads('The last four digits are no week of a year.');
  await page.getByRole('button', { name: /Record all the same/ }).waitFor();
  await accessible(page);
  await fill('Number', 'DOT 0XX 123456 2626');
  await reads('Nothing wrong in its form.');
  await touch(/^Record/);
  await reads('Every part of this unit is recorded.');
  await expect.poll(async () => (await state()).parts.at(-1)).toMatchObject({ part: 'TIRE', number: '0XX1234562626' });
});

it('finds open work and photographs it', async () => {
  await page.goto(`${base}/work?unit=CF1&at=A`);
  await touch(/Something found/);
  await fill('What', 'Wire not clipped');
  await touch('Wall cavity');
  await touch('Take a photo');
  await touch('Shoot');
  await page.getByRole('button', { name: 'Take the photo away' }).waitFor();
  await touch('State it');
  await expect.poll(async () => (await state()).work[0]?.photos.length).toBe(1);
});

it('passes a gate where the station that closes the wall misses it, and is mended all the same', async () => {
  await floor('arrive', 'B');
  await page.goto(`${base}/access?unit=CF1&at=B`);
  await touch('Cover Wall cavity all the same');
  await touch('Cover it over open work');
  await expect.poll(async () => (await state()).breaches).toMatchObject([{ gate: 'access', settled: null }]);
  await touch('Opened again');
  await page.getByLabel('Reason', { exact: true }).fill('To clip the wire');
  await touch('Opened again');
  await expect.poll(async () => (await state()).covered).toEqual([]);
  await page.goto(`${base}/work?unit=CF1&at=B`);
  await touch('It is fixed');
  await page.getByLabel(/What was done/).waitFor();
  await touch('It is fixed');
  await expect.poll(async () => (await state()).work[0]?.status).toBe('fixed');
  await signIn('badge-8');
  await page.goto(`${base}/work?unit=CF1&at=B`);
  await touch('Verified');
  await reads('No open work.');
  await page.goto(`${base}/access?unit=CF1&at=B`);
  await touch(/^Cover: Wall cavity/);
  await expect.poll(async () => (await state()).covered).toEqual(['wall']);
});

it('fails its leak test, is resealed, and passes', async () => {
  await floor('arrive', 'C');
  await floor('finish', 'C');
  await page.goto(`${base}/station?at=C`);
  await touch(/Make the check/);
  await reads(CAUTION);
  await fill(/Reading of pressure/, '190');
  await touch(/Good by the code/);
  await touch('No: No bubbles at any seam');
  await touch(/Failed: state attempt 1/);
  await touch('Mended: test again');
  await reads('mended, passing the item verifies it');
  await fill(/Reading of pressure/, '190');
  await touch(/Good by the code/);
  await touch('Yes: No bubbles at any seam');
  await touch(/Passed: state attempt 2/);
  await expect.poll(async () => (await state()).checks[0]).toMatchObject({ outcome: 'passed', attempts: 2 });
  await floor('leave', 'C');
  await house.app.actions.recordFacts('P', wire([stated(0, 'park', { unit: 'CF1', place: 'YARD', slot: '4' }, { happened: Date.now() })]));
});

it('is released once what is missing is mended in its order, and shipped on a truck', async () => {
  await page.goto(`${base}/release?unit=CF1`);
  await page.getByRole('link', { name: /Settle by an override/ }).click();
  await page.waitForURL(/\/access\?unit=CF1/);
  await fill(/Reason CF1 wall/, 'Opened and closed again');
  await touch('Let it stand');
  await expect.poll(async () => (await state()).breaches[0]!.settled?.reason).toBe('Opened and closed again');
  await page.goto(`${base}/release?unit=CF1`);
  await touch(/Settle: Papers/);
  await touch(/Release to ship/);
  await reads('CF1 is released to ship.');
  await expect.poll(async () => (await state()).stage).toBe('released');
  await accessible(page);
  await touch('Ship list');
  await touch(/^CF1/);
  await page.getByLabel('Truck').fill('Truck 12');
  await touch('Shipped on this truck: 1');
  await reads('Marked shipped: 1 on Truck 12.');
  expect(await state()).toMatchObject({ stage: 'shipped', carrier: 'Truck 12' });
});

it('refuses to ship another one that is not released, and says why', async () => {
  await page.goto(`${base}/release?unit=CF2`);
  await page.locator('sh-release-screen summary').click();
  await page.getByLabel('Truck').fill('Truck 12');
  await page.getByLabel('Why it goes without a release').fill(' ');
  await touch('Ship it without a release');
  await reads(/Nothing was marked shipped|it is not released/);
  expect((await house.app.actions.unitStory('P', 'CF2')).state.shipped).toBeNull();
});

it('that left all the same, said by a kiosk, stands at the head of the Release screen until one who may says why', async () => {
  await house.app.actions.recordFacts('P', wire([register('CF9'), stated(0, 'ship', { unit: 'CF9', carrier: 'Truck 13' }, { happened: Date.now() })]));
  await page.goto(`${base}/unit/CF9`);
  await reads(/Until somebody who may says why/);
  await accessible(page);
  await page.goto(`${base}/release`);
  await reads('Shipped without a release: 1');
  await accessible(page);
  await fill('Why it goes without a release CF9', 'Dealer sent his own truck');
  await touch('Let it stand');
  await page.getByText('Shipped without a release: 1').waitFor({ state: 'detached' });
  await expect.poll(async () => (await house.app.actions.unitStory('P', 'CF9')).state.breaches.map(({ settled }) => settled?.reason)).toEqual(['Dealer sent his own truck']);
});

it('is found by the number of its water heater, and called in by a campaign', async () => {
  await page.goto(`${base}/trace`);
  await page.getByLabel('Part').selectOption('HEATER');
  await page.getByLabel('Number from').fill('WH-000417');
  await page.getByLabel('Number to').fill('WH-000417');
  await touch('Which units?');
  await reads('Units found: 1');
  await page.getByRole('link', { name: 'CF1' }).waitFor();
  await reads(/Dealer 01 Truck 12/);
  await accessible(page);
  await touch('Open a campaign over these units');
  await page.getByLabel('Code of the campaign').fill('C-1');
  await page.getByLabel('What it is about').fill('Heater valve');
  await page.getByLabel('Steps, one a line').fill('Change the valve');
  await touch('Call these units in');
  await touch('Sign: Change the valve CF1');
  await reads('1 of 1 units done');
  expect((await state()).campaigns).toMatchObject([{ campaign: 'C-1', steps: [{ done: { who: 'badge-8' } }] }]);
});

it('shows its rates, and takes a claim that leads back', async () => {
  await house.app.actions.recordFacts('P', wire([stated(0, 'bindVin', { unit: 'CF1', vin: '0ZZTB2525T0000417' }, { happened: Date.now() })]));
  await page.goto(`${base}/rates`);
  await reads('Defects per unit, by week');
  const file = { name: 'claims.csv', mimeType: 'text/csv', buffer: Buffer.from(`claim,vin,date,what,zone,part,station\nD-1,0ZZTB2525T0000417,${new Date().toISOString().slice(0, 10)},Wall is wet,wall,,\n`) };
  await page.getByLabel('Take claims from a CSV file, by VIN').setInputFiles(file);
  await reads('Claims taken: 1.');
  await reads('Wall is wet');
  await page.getByRole('cell', { name: 'Leak test' }).first().waitFor();
  await accessible(page);
});

it.each([['parts?unit=CF2&at=A'], ['trace?part=HEATER'], ['rates'], ['release']])('cuts no text on a phone in Spanish: %s', async (path) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await page.evaluate(() => Object.assign(localStorage, { 'stationhand-language': 'es', 'stationhand-theme': 'dark' }));
  await page.goto(`${base}/${path}`);
  await page.locator('h1').first().waitFor();
  await page.waitForTimeout(300);
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
  await accessible(page);
});
