import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { LABEL_VIN, labelPlant } from '../support/given-labels.ts';
import { accessible, deskContext, wearBadge } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let page: Page;
let base: string;
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  const { zones, checks, labels, lines, models } = labelPlant();
  await house.app.actions.loadPlant(wholePlant({ zones, checks, labels, lines, models }), 0, BY);
  const ago = (s: number) => ({ happened: Date.now() - s * 1_000 });
  await house.app.actions.recordFacts('P', wire([
    register('CF1'), stated(0, 'arrive', { unit: 'CF1', station: 'C' }, ago(60)), stated(0, 'bindVin', { unit: 'CF1', vin: LABEL_VIN }, ago(50)),
  ]));
  base = `${await house.listen()}/P`;
  page = await (await deskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US', hasTouch: true })).newPage();
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const touch = (name: string | RegExp): Promise<void> => page.getByRole('button', { name }).first().click();
const reads = (words: string | RegExp) => page.getByText(words).first().waitFor();
const state = async () => (await house.app.actions.unitStory('P', 'CF1')).state;

it('lists units that stand where a check is to be made, to touch', async () => {
  await page.goto(`${base}/checks`);
  await reads('Units with a check to make where they stand: 1');
  await accessible(page);
  await page.getByLabel('Badge').waitFor();
  await wearBadge(page, 'badge-7');
  await touch(/^CF1/);
  await reads('Unloaded weight');
});

it('shows at each item that signs a label the figures to compare with, the weight read a moment ago among them', async () => {
  expect(await page.getByText('missing: the unit was not weighed').count()).toBe(2);
  await page.getByLabel(/Unloaded weight/).first().fill('5480');
  await page.getByLabel(/Unloaded weight/).first().blur();
  await touch(/Good by the code: Unloaded weight/);
  await reads('934 kg (2060 lb)');
  await reads('151 kg (332 lb)');
  await reads('To compare with: Tire and loading placard (49 CFR 571.110)');
  await accessible(page);
});

it('holds the release by the name of the label that was not signed as fitted', async () => {
  await touch('Yes: Is certification right?');
  await touch('Yes: Is placard right?');
  await touch('No: Is cargo right?');
  await touch(/Failed: state attempt 1/);
  await expect.poll(async () => (await state()).labels.map(({ label }) => label)).toEqual(['certification', 'tires']);
  await house.app.actions.recordFacts('P', wire([stated(0, 'leave', { unit: 'CF1', station: 'C' }, { happened: Date.now() }), stated(0, 'park', { unit: 'CF1', place: 'YARD', slot: '4' }, { happened: Date.now() })]));
  await page.goto(`${base}/release?unit=CF1`);
  await reads('Sign the label as fitted: Is cargo right? – C (not signed as fitted)');
  await reads('The plant confirms these figures against the rule in force.');
  await reads('figures not confirmed by this plant');
  await accessible(page);
  await page.goto(`${base}/unit/CF1`);
  await reads('fitted, signed by badge-7');
  await reads(new RegExp(`${String(new Date().getUTCMonth() + 1).padStart(2, '0')}/${new Date().getUTCFullYear()}`));
  await accessible(page);
});

it('prints the figures', async () => {
  const [opened] = await Promise.all([page.waitForEvent('popup'), page.getByRole('button', { name: 'Print label figures' }).click()]);
  await opened.getByRole('heading', { name: 'Cargo label' }).waitFor();
  expect(await opened.getByText('934 kg (2060 lb)').count()).toBe(2);
  await opened.close();
});

it('cuts nothing on a phone in Spanish', async () => {
  await page.setViewportSize({ width: 390, height: 844 });
  await page.evaluate(() => Object.assign(localStorage, { 'stationhand-language': 'es', 'stationhand-theme': 'dark' }));
  for (const path of ['release?unit=CF1', 'unit/CF1', 'checks?unit=CF1&at=C']) {
    await page.goto(`${base}/${path}`);
    await reads(/Placa de llantas y carga/);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    await accessible(page);
  }
});
