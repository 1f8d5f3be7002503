import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, testHouse, type TestHouse } from '../actions/house.ts';
import { accessibilityProblems } from '../support/accessible.ts';
import { openBrowser } from '../support/browser.ts';
import { aLine, aPlant, aStation } from '../support/given.ts';
import { kiosk, kioskContext } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let base: string;

/** Works round the clock in UTC, so that a shift is on whenever the test runs. */
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  const stations = [aStation('S1', { plannedHeads: 3 }), aStation('BUFFER', { plannedHeads: 0 }), aStation('S2', { plannedHeads: 2 }), aStation('S3', { plannedHeads: 4 })];
  await house.app.actions.loadPlant(aPlant(aLine(stations), { S1: 25, S2: 30, S3: 20 }), Date.parse('2026-01-01T00:00:00Z'), BY);
  base = `${await house.listen()}/P`;
  context = await kioskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US', hasTouch: true });
  page = await context.newPage();
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const crewOn = async (station: string) => (await house.app.actions.snapshot('P')).stations.find((row) => row.station === station)?.crew;
const touch = (name: string): Promise<void> => page.getByRole('button', { name, exact: true }).click();
const totals = (): Promise<string[]> => page.locator('sh-crew-screen dd').evaluateAll((figures) => figures.map((figure) => figure.textContent!.trim()));
const choose = (name: string, station: string): Promise<string[]> => page.getByRole('combobox', { name, exact: true }).selectOption(station);

describe('the crew screen', () => {
  it('shows stations with a standard crew in line order, and states nothing without a badge', async () => {
    await page.goto(`${base}/crew`);
    await page.getByText('Stations counted: 0 of 3').waitFor();
    expect(await page.locator('tbody th b').allTextContents()).toEqual(['S1', 'S2', 'S3']);
    expect(await totals()).toEqual(['9', '9', '0']);
    await touch('S1: one less');
    await page.getByText('Scan or type your badge first').waitFor();
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.getByLabel('Badge').fill('badge-7');
    await page.getByLabel('Badge').blur();
  });

  it('counts by steps, as fast as one touches, and in halves; the touch targets have room for a glove', async () => {
    // Two clicks of the pointer at once may come as one: the touches are the button's own.
    await page.getByRole('button', { name: 'S1: one less', exact: true }).evaluate((button: HTMLElement) => {
      button.click();
      button.click();
    });
    await expect.poll(() => crewOn('S1'), { timeout: 20_000 }).toEqual({ planned: 3, here: 1, short: 2, stated: true });
    await page.getByText('Count in halves').click();
    await touch('S1: half more');
    await expect.poll(() => crewOn('S1'), { timeout: 20_000 }).toMatchObject({ here: 1.5, short: 1.5 });
    expect(await totals()).toEqual(['9', '7.5', '1.5']);
    await page.getByText('Count in halves').click();
    const box = (await page.getByRole('button', { name: 'S1: one more' }).boundingBox())!;
    expect(Math.min(box.width, box.height)).toBeGreaterThanOrEqual(76);
  });

  it('counts all the others as complete with one touch', async () => {
    await touch('All others are complete (2)');
    await page.getByText('Stations counted: 3 of 3').waitFor();
    await expect.poll(() => crewOn('S3'), { timeout: 20_000 }).toEqual({ planned: 4, here: 4, short: 0, stated: true });
    expect(await accessibilityProblems(page)).toEqual([]);
  });

  it('lends from one station to another, and takes it back', async () => {
    await choose('From', 'S1');
    await choose('To', 'S1');
    await touch('Lend');
    await page.getByText('A station cannot lend to itself.').waitFor();
    await choose('From', 'S3');
    await touch('Lend');
    await page.getByRole('listitem').getByText('1 from S3 to S1').waitFor();
    await expect.poll(() => crewOn('S3'), { timeout: 20_000 }).toMatchObject({ here: 3, short: 1 });
    expect(await crewOn('S1')).toMatchObject({ here: 2.5, short: 0.5 });
    expect(await totals()).toEqual(['9', '7.5', '1.5']);
    expect(await accessibilityProblems(page)).toEqual([]);
    await touch('Undo: 1 from S3 to S1');
    await expect.poll(() => crewOn('S3'), { timeout: 20_000 }).toMatchObject({ here: 4, short: 0 });
  });

  it('goes on without the network, on this device at once', async () => {
    await context.setOffline(true);
    await touch('S2: one less');
    await page.getByText('1 not sent yet, kept on this device').waitFor();
    await expect.poll(totals).toEqual(['9', '6.5', '2.5']);
    expect(await accessibilityProblems(page)).toEqual([]);
    await context.setOffline(false);
    await expect.poll(() => crewOn('S2'), { timeout: 45_000 }).toMatchObject({ here: 1, short: 1 });
  });

  it('is told on the Line board and on the Station screen', async () => {
    const station = await kiosk(context, base, 'S1');
    await station.locator('header').getByText('1.5 of 3 heads').waitFor();
    await station.locator('header').getByText('Short crew').waitFor();
    expect(await accessibilityProblems(station)).toEqual([]);
    await station.goto(`${base}/board`);
    await station.locator('aside').getByText('heads missing: 1.5').waitFor();
    expect(await station.locator('sh-line-path text', { hasText: 'Short crew' }).count()).toBe(2);
    expect(await accessibilityProblems(station)).toEqual([]);
    await station.close();
  });

  for (const [width, height] of [[1280, 800], [800, 1280], [390, 844], [1366, 768]] as const) {
    it(`fits ${width} × ${height} in both languages, light and dark`, async () => {
      for (const [language, theme] of [['en', 'light'], ['es', 'dark']] as const) {
        await page.setViewportSize({ width, height });
        await page.evaluate(([chosen, look]) => {
          localStorage.setItem('stationhand-language', chosen);
          localStorage.setItem('stationhand-theme', look);
        }, [language, theme] as const);
        await page.reload();
        await page.locator('tbody').first().waitFor();
        expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
        expect(await accessibilityProblems(page)).toEqual([]);
      }
    });
  }
});
