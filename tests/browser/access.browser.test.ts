import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { qualityPlant } from '../support/given-quality.ts';
import { accessible, deskContext, wearBadge } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let base: string;
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  const { zones, lines, models } = qualityPlant();
  await house.app.actions.loadPlant(wholePlant({ zones, lines, models }), 0, BY);
  const ago = (s: number) => ({ happened: Date.now() - s * 1_000 });
  await house.app.actions.recordFacts('P', wire([
    register('CF1'), stated(0, 'arrive', { unit: 'CF1', station: 'A' }, ago(60)), stated(0, 'findWork', { unit: 'CF1', what: 'Wire loose', zone: 'wall', severity: 'safety', belongsTo: 'A' }, ago(50)),
    stated(0, 'leaveShort', { unit: 'CF1', station: 'A', items: [{ what: 'Roof fan', owner: 'Supplier', fitAt: 'C', expected: null, zone: 'roof' }] }, ago(40)), stated(0, 'arrive', { unit: 'CF1', station: 'B' }, ago(30)),
  ]));
  base = `${await house.listen()}/P`;
  context = await deskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US', hasTouch: true });
  page = await context.newPage();
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const touch = (name: string | RegExp): Promise<void> => page.getByRole('button', { name }).first().click();
const reads = (words: string | RegExp) => page.getByText(words).first().waitFor();
const breaches = async () => (await house.app.actions.unitStory('P', 'CF1')).state.breaches;

it('counts the stations until open work, and what was left short, cannot be reached', async () => {
  await page.goto(`${base}/access`);
  await page.getByLabel('Badge').waitFor();
  await wearBadge(page, 'badge-7');
  await reads('B covers it now');
  await reads(/^forecast \d+ min, about /);
  await reads('stations until C covers it: 1');
  await reads('left short: Roof fan');
  await accessible(page);
});

it('covers over open work only when that is said twice, and shows the passed gate to the supervisor at once', async () => {
  const supervisor = await context.newPage();
  await supervisor.goto(`${base}/holds`);
  await supervisor.getByText('No stops').or(supervisor.getByRole('heading', { name: /stop/i })).first().waitFor();
  await page.goto(`${base}/station?at=B`);
  await touch(/Access/);
  await reads('Wall cavity is not ready to be covered:');
  await touch('Cover Wall cavity all the same');
  await reads(/This passes a gate/);
  expect(await breaches()).toEqual([]);
  await touch('Cover it over open work');
  await expect.poll(breaches).toMatchObject([{ gate: 'access', detail: 'wall', station: 'B', settled: null }]);
  await supervisor.getByText('Wall cavity was covered over open work at B.').waitFor();
  await accessible(supervisor);
  await supervisor.getByLabel(/Reason CF1 wall/).fill('Reached from below');
  await supervisor.getByRole('button', { name: 'Let it stand' }).click();
  await expect.poll(breaches).toMatchObject([{ settled: { reason: 'Reached from below' } }]);
  await supervisor.goto(`${base}/unit/CF1`);
  await supervisor.getByText(/settled by .*: Reached from below/).waitFor();
  await supervisor.close();
});

it('opens a zone again with a reason, and covers it with one touch once nothing is open in it', async () => {
  await touch('Opened again');
  await page.getByLabel('Reason', { exact: true }).fill('To clip the wire');
  await touch('Opened again');
  const [work] = (await house.app.actions.unitStory('P', 'CF1')).state.work;
  await house.app.actions.recordFacts('P', wire([
    stated(0, 'fixWork', { unit: 'CF1', work: work!.id, note: '' }, { happened: Date.now() - 2 }), stated(0, 'verifyWork', { unit: 'CF1', work: work!.id, note: '' }, { who: 'badge-9', happened: Date.now() - 1 }),
  ]));
  await touch(/^Cover: Wall cavity/);
  await expect.poll(async () => (await house.app.actions.unitStory('P', 'CF1')).state.covered).toEqual(['wall']);
  expect(await breaches()).toHaveLength(1);
});

it.each([['en', 'light', 390], ['es', 'dark', 390], ['es', 'light', 1280]] as const)('cuts no text in %s, %s, %i wide', async (language, theme, width) => {
  await page.setViewportSize({ width, height: 844 });
  await page.evaluate(([l, d]) => Object.assign(localStorage, { 'stationhand-language': l, 'stationhand-theme': d }), [language, theme]);
  await page.goto(`${base}/access?unit=CF1&at=C`);
  await page.locator('.list li').first().waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
  await accessible(page);
});
