import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wire } from '../actions/house.ts';
import { accessibilityProblems } from '../support/accessible.ts';
import { openBrowser } from '../support/browser.ts';
import { aLine, aPlant, aStation } from '../support/given.ts';
import { scan, kioskContext } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let base: string;

/** Three stations and a yard of six slots: U1 to U3 on the line, U4 in slot 2, U5 left the line and came nowhere. */
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  const places = [aStation('RB1', { kind: 'repairBay' }), aStation('YARD', { kind: 'yard', capacity: 6 })];
  await house.app.actions.loadPlant(aPlant(aLine([aStation('S1'), aStation('S2'), aStation('S3')]), { S1: 25, S2: 30, S3: 20 }, { places }), Date.parse('2026-01-01T00:00:00Z'), BY);
  base = `${await house.listen()}/P`;
  context = await kioskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US', hasTouch: true });
  page = await context.newPage();
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const stateOf = async (unit: string) => (await house.app.actions.snapshot('P')).units.find(({ state }) => state.unit === unit);
const asked = (): Promise<string | null> => page.locator('sh-walk-screen .place').textContent();
const next = (words: string): Promise<void> => page.locator('.next').getByText(words, { exact: true }).waitFor();
const touch = (name: string): Promise<void> => page.getByRole('button', { name }).click();

describe('the walk-down', () => {
  it('says that a plant has nothing standing anywhere, and starts only with a badge', async () => {
    await page.goto(`${base}/walk`);
    await page.getByText('Places: 10. Units said to stand there: 0.').waitFor();
    expect(await accessibilityProblems(page)).toEqual([]);
    await house.app.actions.recordFacts('P', wire([
      ...['U1', 'U2', 'U3', 'U4', 'U5'].map((unit, sequence) => register(unit, { sequence })),
      stated(0, 'arrive', { unit: 'U5', station: 'S1' }), stated(5, 'leave', { unit: 'U5', station: 'S1' }),
      stated(10, 'arrive', { unit: 'U1', station: 'S1' }), stated(10, 'arrive', { unit: 'U2', station: 'S2' }), stated(10, 'arrive', { unit: 'U3', station: 'S3' }),
      stated(10, 'park', { unit: 'U4', place: 'YARD', slot: '2' }),
    ]));
    await page.getByText('Units said to stand there: 4.').waitFor();
    await touch('Start the walk');
    await page.getByText('Scan or type your badge first').waitFor();
    await page.getByLabel('Badge').fill('badge-7');
    await page.getByLabel('Badge').blur();
    await touch('Start the walk');
    await page.getByText('0 of 10 places').waitFor();
    expect(await asked()).toContain('S1');
    expect(await accessibilityProblems(page)).toEqual([]);
  });

  it('gives the next place and its two answers room for a glove', async () => {
    for (const name of ['It is here', 'Not here', 'Later', 'Undo']) {
      const box = (await page.getByRole('button', { name }).boundingBox())!;
      expect(Math.min(box.width, box.height), name).toBeGreaterThanOrEqual(76);
    }
    const size = (selector: string) => page.locator(selector).first().evaluate((element) => Number.parseFloat(getComputedStyle(element).fontSize));
    expect(await size('.serial')).toBeGreaterThan(await size('h1'));
  });

  it('confirms with one touch, and takes it back', async () => {
    await touch('It is here');
    await page.getByText('1 of 10 places').waitFor();
    await expect.poll(async () => (await stateOf('U1'))?.state.seen, { timeout: 20_000 }).toBeGreaterThan(0);
    expect(await asked()).toContain('S2');
    await touch('Undo');
    await page.getByText('0 of 10 places').waitFor();
    await touch('It is here');
    await page.getByText('1 of 10 places').waitFor();
  });

  it('states what is not found, then asks what stands there; a scan says that another one does', async () => {
    await touch('Not here');
    await page.getByText('Nothing should stand here').waitFor();
    expect(await asked()).toContain('S2');
    await page.getByText('U2 not found at S2').waitFor();
    await scan(page, 'U3X');
    await page.getByText('2 of 10 places').waitFor();
    await page.getByText('U3X found at S2, nobody had said where it was').waitFor();
    await expect.poll(async () => (await stateOf('U2'))?.flags.map(({ code, detail }) => [code, detail]), { timeout: 20_000 }).toContainEqual(['notFound', 'S2']);
    expect((await stateOf('U3X'))?.state).toMatchObject({ known: false, place: { station: 'S2' } });
    expect(await accessibilityProblems(page)).toEqual([]);
  });

  it('is taken up again where it was broken off, on the same device', async () => {
    await page.goto(`${base}/board`);
    await page.goto(`${base}/walk`);
    await page.getByText('2 of 10 places').waitFor();
    expect(await asked()).toContain('S3');
  });

  it('goes on without the network', async () => {
    await context.setOffline(true);
    await touch('It is here');
    await page.getByText('3 of 10 places').waitFor();
    await page.getByText('1 not sent yet, kept on this device').waitFor();
    expect(await asked()).toContain('RB1');
    await touch('Empty, go on');
    await next('Slot 1');
    expect(await accessibilityProblems(page)).toEqual([]);
    await context.setOffline(false);
    await page.getByText('1 not sent yet').waitFor({ state: 'detached', timeout: 45_000 });
    expect((await stateOf('U3'))?.state.seen).toBeGreaterThan(0);
  });

  it('walks the yard slot by slot: a unit found in a free slot stands there, the free ones before it are seen on the way', async () => {
    await touch('Empty, go on');
    await page.getByText('5 of 10 places').waitFor();
    await touch('It is here');
    await next('Slots 3 to 6');
    await page.getByLabel('Slot', { exact: true }).fill('4');
    await page.getByLabel('A unit is here').fill('U2');
    await touch('State it');
    await next('Slots 5 to 6');
    await page.getByText('U2 found at YARD Slot 4, said to be at S2').waitFor();
    await expect.poll(async () => (await stateOf('U2'))?.state.place, { timeout: 20_000 }).toMatchObject({ station: 'YARD', slot: '4' });
  });

  it('ends with what it came to, links to the units, and asks for those that stand nowhere', async () => {
    await touch('Empty, go on');
    await page.getByText('Every place is walked').waitFor();
    expect(await page.locator('dd').allTextContents()).toEqual(['3', '2', '0']);
    expect(await page.getByRole('link', { name: 'U2', exact: true }).getAttribute('href')).toBe('/P/unit/U2');
    await page.getByText('Where are these?').waitFor();
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.getByLabel('Stands at').selectOption('RB1');
    await touch('It is here');
    await page.getByText('Where are these?').waitFor({ state: 'detached' });
    await expect.poll(async () => (await stateOf('U5'))?.state.place?.station, { timeout: 20_000 }).toBe('RB1');
    await touch('Start a new walk');
    await page.getByText(/^0 of \d+ places/).waitFor();
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
        await page.locator('.answers').waitFor();
        expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
        // Where there is least room, what was heard of the last answer must not push the next one out of sight.
        if (width === 390) await page.locator('.answers .main').first().click();
        const answer = (await page.locator('.answers button').last().boundingBox())!;
        expect(answer.y + answer.height).toBeLessThanOrEqual(height);
        expect(await accessibilityProblems(page)).toEqual([]);
      }
    });
  }
});
