import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { qualityPlant } from '../support/given-quality.ts';
import { accessible, kioskContext, wearBadge } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let base: string;
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser(['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream']);
  const { zones, checks, partKinds, lines, models } = qualityPlant();
  await house.app.actions.loadPlant(wholePlant({ zones, checks, partKinds, lines, models }), 0, BY);
  const now = { happened: Date.now() - 60_000 };
  await house.app.actions.recordFacts('P', wire([register('CF1'), stated(0, 'arrive', { unit: 'CF1', station: 'A' }, now)]));
  base = `${await house.listen()}/P`;
  await (await house.enter()).kiosk('badge-8', ['inspector']);
  context = await kioskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US', hasTouch: true });
  page = await context.newPage();
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const touch = (name: string | RegExp): Promise<void> => page.getByRole('button', { name }).first().click();
const workOf = async () => (await house.app.actions.unitStory('P', 'CF1')).state.work;
/** Whole words of the screen, through every shadow root. */
const reads = (words: string | RegExp) => page.getByText(words).first().waitFor();

it('states what was found with its place and its photo, without a network, and sends both when it is back', async () => {
  await page.goto(`${base}/work?unit=CF1&at=A`);
  await page.getByLabel('Badge').waitFor();
  await wearBadge(page, 'badge-7');
  await touch(/Something found/);
  await accessible(page);
  await page.getByLabel('What', { exact: true }).fill('Bracket bent');
  await touch('safety');
  await touch('Wall cavity');
  await page.locator('sh-unit-drawing svg').nth(1).click({ position: { x: 60, y: 40 } });
  await touch('Take a photo');
  await touch('Shoot');
  await page.getByRole('button', { name: 'Take the photo away' }).waitFor();
  await context.setOffline(true);
  await touch('State it');
  await reads('Photos not sent yet: 1');
  await reads('1. Bracket bent');
  expect(await workOf()).toEqual([]);
  await context.setOffline(false);
  await expect.poll(workOf, { timeout: 40_000 }).toMatchObject([{ what: 'Bracket bent', zone: 'wall', severity: 'safety', belongsTo: 'A', status: 'found', spots: [{ drawing: 'door' }] }]);
  const [photo] = (await workOf())[0]!.photos;
  await expect.poll(() => house.app.actions.quality.photos.read('P', photo!).then(({ length }) => length > 1_000, () => false), { timeout: 40_000 }).toBe(true);
  await page.getByRole('button', { name: 'Photo, show it large' }).waitFor();
  await accessible(page);
});

it('lets another person than the one who fixed it verify it, and opens it again with a reason', async () => {
  await touch('It is fixed');
  await page.getByLabel(/What was done/).fill('New bracket');
  await touch('It is fixed');
  await reads('fixed, to verify');
  await touch('Verified');
  await reads('Another person than the one who fixed it must verify it.');
  await touch('Open again');
  await page.getByLabel(/Why it is open again/).fill('Bent too');
  await page.locator('form button.main').click();
  await reads('open again: 1');
  await touch('It is fixed');
  await page.getByLabel(/What was done/).waitFor();
  await touch('It is fixed');
  await reads('fixed, to verify');
  await wearBadge(page, 'badge-8');
  await touch('Verified');
  await reads('No open work.');
  await expect.poll(workOf).toMatchObject([{ status: 'verified', verified: { who: 'badge-8' }, reopened: 1 }]);
});

it('offers what was found most at the station, and lists every unit with open work', async () => {
  await touch(/Something found/);
  await touch(/Bracket bent/);
  await touch('State it');
  await reads('1. Bracket bent');
  await page.goto(`${base}/work?at=A`);
  await reads('Work of A');
  await touch(/CF1/);
  await reads('1. Bracket bent');
  await page.goto(`${base}/station?at=A`);
  await touch(/Open work/);
  await page.waitForURL(/\/work\?unit=CF1&at=A/);
});

it.each([['en', 'light', 390], ['es', 'dark', 390], ['es', 'light', 1280]] as const)('cuts no text in %s, %s, %i wide', async (language, theme, width) => {
  await page.setViewportSize({ width, height: 844 });
  await page.evaluate(([l, d]) => Object.assign(localStorage, { 'stationhand-language': l, 'stationhand-theme': d }), [language, theme]);
  await page.goto(`${base}/work?unit=CF1&at=A`);
  await page.locator('button.main').waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
  await accessible(page);
});
