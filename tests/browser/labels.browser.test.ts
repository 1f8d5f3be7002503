import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { LABEL_VIN, labelPlant, someFigures } from '../support/given-labels.ts';
import { accessible, contextOf, deskContext, wearBadge } from './kiosk-page.ts';

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

describe('the confirmation of the figures', () => {
  const setup = () => house.app.actions.setup('P');

  it.each(['release?unit=CF1', 'unit/CF1'])('is offered at %s with every figure of the set-up, as large as a glove wants it, and can be left', async (path) => {
    await page.goto(`${base}/${path}`);
    await touch('Confirm these figures');
    await reads('For units of every model');
    for (const figure of ['Each tire carries at most, axle 2', '1152 kg (2540 lb)', 'Full LP-gas cylinders weigh', '27 kg (60 lb)']) await reads(figure);
    const heights = await page.locator('sh-confirm-figures').locator('button, input').evaluateAll((all) => all.map((one) => one.getBoundingClientRect().height));
    expect(heights).toHaveLength(3);
    for (const height of heights) expect(height).toBeGreaterThanOrEqual(76);
    await accessible(page);
    await page.locator('sh-confirm-figures').getByRole('button', { name: 'Back' }).click();
    await page.getByLabel('Code and edition').waitFor({ state: 'detached' });
    expect((await setup()).version).toBe(1);
  });

  it('is refused for figures that changed while the form was open; the next form shows those that hold', async () => {
    await touch('Confirm these figures');
    await page.getByLabel('Code and edition').fill('Rule in force, 2026');
    const { plant } = await setup();
    await house.app.actions.loadPlant({ ...plant, labels: { ...plant.labels!, figures: [someFigures({ lpGas: { lb: 61 } })] } }, Date.now(), BY);
    await touch('Confirm these figures');
    await reads(/The label figures of CF1 are not those that were shown any more.* Look at the figures in force/);
    await reads('figures not confirmed by this plant');
    expect((await setup()).plant.labels!.figures[0]!.confirmed).toBeNull();
    await touch('Confirm these figures');
    await reads('28 kg (61 lb)');
  });

  it('says by whom, when and against which edition, and is not offered again; what was signed stays signed', async () => {
    const { labels } = await state();
    await page.getByLabel('Code and edition').fill('Rule in force, 2026');
    await touch('Confirm these figures');
    await reads('Recorded. It holds from now on.');
    await reads(/figures confirmed by badge-7, \d{4}-\d{2}-\d{2}, against Rule in force, 2026/);
    await reads('fitted, signed by badge-7');
    expect((await setup()).plant.labels!.figures[0]!.confirmed).toMatchObject({ who: 'badge-7', edition: 'Rule in force, 2026' });
    expect((await state()).labels).toEqual(labels);
    expect(await page.getByRole('button', { name: 'Confirm these figures' }).count()).toBe(0);
    await accessible(page);
  });

  it('is not offered to a kiosk at which nobody is signed in, nor to who has no right to it', async () => {
    const { plant } = await setup();
    await house.app.actions.loadPlant({ ...plant, labels: { ...plant.labels!, figures: [someFigures()] } }, Date.now(), BY);
    for (const entered of [await (await house.enter()).kiosk('badge-8', ['quality']), await (await house.enter()).person('badge-9', ['supervisor', 'productionControl'])]) {
      const context = await contextOf(browser, entered, base, { locale: 'en-US' });
      const other = await context.newPage();
      await other.goto(`${base}/unit/CF1`);
      await other.getByText('figures not confirmed by this plant').first().waitFor();
      expect(await other.getByRole('button', { name: 'Confirm these figures' }).count()).toBe(0);
      await context.close();
    }
  });
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
    if (!path.startsWith('checks')) await touch('Confirmar estas cifras');
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    await accessible(page);
  }
});
