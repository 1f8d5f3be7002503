import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { MONDAY } from '../support/given.ts';
import { accessible, deskContext } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let base: string;
const DAY = 1_440;

/** Minutes from the Monday of the examples to now: the program reads the clock on the wall. */
const now = Math.floor((Date.now() - MONDAY) / 60_000);
const day = (ahead: number): string => new Date(Date.now() + ahead * DAY * 60_000).toISOString().slice(0, 10);

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), 0, { who: 'office-1', device: 'desk-1' });
  const facts = [register('L1', { sequence: 1, promise: day(-2) }), register('R1', { sequence: 2, promise: day(0) }), register('C1', { sequence: 3, promise: day(5) }), register('C2', { sequence: 4, promise: day(6) })];
  facts.push(stated(now - 30, 'arrive', { unit: 'L1', station: 'S2' }), stated(now - 20, 'arrive', { unit: 'R1', station: 'S1' }));
  facts.push(stated(now - 15, 'openHold', { unit: 'R1', reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' }));
  await house.app.actions.recordFacts('P', wire(facts));
  base = `${await house.listen()}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

async function opened(language: string, width = 1_366): Promise<{ context: BrowserContext; page: Page }> {
  const context = await deskContext(browser, house, { viewport: { width, height: 768 }, acceptDownloads: true });
  await context.addInitScript(`localStorage.setItem('stationhand-language', '${language}');`);
  return { context, page: await context.newPage() };
}

describe('the forecast on the screens', () => {
  it('draws the span of each unit against its promise, and gives workbook and paper', async () => {
    const { context, page } = await opened('en');
    await page.goto(`${base}/late?only=all`);
    await page.getByText('Forecast made').waitFor();
    await page.getByRole('row', { name: /L1/ }).getByText('Late', { exact: true }).waitFor();
    expect(await page.getByRole('row', { name: /C1/ }).getByRole('img').getAttribute('aria-label')).toMatch(/^Ready between .* promise/);
    await page.getByText(/Part missing: (clear by|too late)/).waitFor();
    await accessible(page);
    const [pdf] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Download PDF' }).click()]);
    expect(pdf.suggestedFilename()).toBe('P-late.pdf');
    const [xlsx] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Download XLSX' }).click()]);
    expect(xlsx.suggestedFilename()).toBe('P-late.xlsx');
    await context.close();
  });

  it('compares plans one change at a time, in words', async () => {
    for (const [language, width] of [['en', 1_366], ['es', 390]] as const) {
      const { context, page } = await opened(language, width);
      await page.goto(`${base}/plans?unit=C1`);
      await page.getByText(language === 'en' ? 'What would bring C1 back' : 'Qué recuperaría C1').waitFor();
      await page.getByLabel(language === 'en' ? 'What would you do?' : '¿Qué haría?').selectOption('standard');
      await page.getByLabel(language === 'en' ? 'Percent less' : 'Por ciento menos').fill('50');
      await page.getByRole('button', { name: language === 'en' ? 'Add to the plan' : 'Agregar al plan' }).click();
      await page.getByText(language === 'en' ? '50 % less time at S1' : '50 % menos tiempo en S1').waitFor();
      await page.getByText(language === 'en' ? /Units expected late: / : /Unidades que se esperan atrasadas: /).waitFor();
      await page.getByRole('row', { name: /C1/ }).getByText(language === 'en' ? /earlier/ : /antes/).waitFor();
      await accessible(page);
      expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
      await page.getByRole('button', { name: language === 'en' ? 'Take out: 50' : 'Quitar: 50' }).click();
      await page.getByText(language === 'en' ? 'Nothing is changed yet.' : 'Todavía no hay cambios.').waitFor();
      await context.close();
    }
  });

  it('says how good it was, and that nothing can be said yet', async () => {
    const { context, page } = await opened('en');
    await page.goto(`${base}/trust`);
    await page.getByText('No unit of a kept forecast has been released yet').first().waitFor();
    await accessible(page);
    await house.app.actions.recordFacts('P', wire([stated(Math.floor((Date.now() - MONDAY) / 60_000) + 1, 'release', { unit: 'L1' })]));
    await context.close();
  });
});
