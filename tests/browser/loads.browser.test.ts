import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { MONDAY } from '../support/given.ts';
import { accessible, deskContext } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let base: string;
const DAY = 1_440;
const now = Math.floor((Date.now() - MONDAY) / 60_000);
const day = (ahead: number): string => new Date(Date.now() + ahead * DAY * 60_000).toISOString().slice(0, 10);

const at = (): { happened: number } => ({ happened: Date.now() });

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  const facts = [register('R1', { sequence: 1, promise: day(0) }), register('R2', { sequence: 2, promise: day(0) }), register('W1', { sequence: 3, promise: day(1), dealer: 'Dealer 02' })];
  for (const unit of ['R1', 'R2']) facts.push(stated(now - 60, 'arrive', { unit, station: 'S3' }), stated(now - 50, 'leave', { unit, station: 'S3' }), stated(now - 40, 'release', { unit }));
  facts.push(stated(now - 20, 'arrive', { unit: 'W1', station: 'S1' }));
  await house.app.actions.recordFacts('P', wire(facts));
  base = `${await house.listen()}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

async function opened(language: string, width = 1_366): Promise<{ context: BrowserContext; page: Page }> {
  const context = await deskContext(browser, house, { viewport: { width, height: 768 }, acceptDownloads: true });
  await context.addInitScript(`localStorage.setItem('stationhand-language', '${language}'); localStorage.setItem('stationhand-who', 'badge-7');`);
  const page = await context.newPage();
  await page.goto(`${base}/loads`);
  return { context, page };
}

describe('the Loads screen', () => {
  it('plans a load, calls the carrier, picks up what is released, and takes back what comes back', async () => {
    const { context, page } = await opened('en');
    await page.getByText('No load is planned.').waitFor();
    await accessible(page);
    for (const unit of ['R1', 'R2', 'W1']) await page.getByRole('checkbox', { name: new RegExp(unit) }).check();
    await page.getByText('3 chosen').waitFor();
    await page.getByLabel('Carrier').fill('Carrier A');
    await page.getByLabel('Pick-up').fill(`${day(1)}T10:00`);
    await page.getByRole('button', { name: 'Plan it' }).click();

    const card = page.getByRole('article', { name: 'Load L1' });
    await card.getByText('Carrier not called').waitFor();
    await card.getByText(/likely that they are not all ready/).waitFor({ timeout: 60_000 });
    await card.getByRole('button', { name: 'Carrier was called' }).click();
    await card.getByText(/Carrier called .* by badge-7/).waitFor();
    await accessible(page);
    await card.getByRole('button', { name: 'Picked up: 2 of 3' }).click();
    await card.getByText('Picked up in part').waitFor();
    // What is not released did not go.
    expect((await house.app.actions.snapshot('P')).units.map(({ state }) => state.unit)).toContain('W1');
    await card.getByRole('button', { name: 'Take W1 off the load' }).click();
    await page.getByText('Gone in the last two weeks').waitFor();
    await page.getByText('R1 R2').click();
    await page.getByLabel('R1 came back').click();
    await page.getByLabel('Why').first().fill('Awning torn');
    await page.getByRole('button', { name: 'Came back' }).first().click();
    await page.getByText(/Came back .*: Awning torn/).waitFor();
    await accessible(page);

    const { loads } = await house.app.actions.loads('P');
    expect(loads).toMatchObject([{ load: 'L1', carrier: 'Carrier A', standing: 'gone', units: [{ unit: 'R2' }], cameBack: [{ unit: 'R1', reason: 'Awning torn' }] }]);
    const [csv] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'CSV' }).click()]);
    expect(csv.suggestedFilename()).toBe('P-loads.csv');
    await context.close();
  });

  it('fits a phone, in Spanish, and keeps what is said while the server is away', async () => {
    await house.app.actions.recordFacts('P', wire([stated(now, 'putOnLoad', { unit: 'W1', load: 'L7' }, at()), stated(now, 'planLoad', { load: 'L7', carrier: 'Carrier C', pickUp: MONDAY + (now + DAY) * 60_000, note: 'puerta 2' }, at())]));
    const { context, page } = await opened('es', 390);
    const card = page.getByRole('article', { name: 'Carga L7' });
    await card.getByText('puerta 2').waitFor();
    await card.getByText('Ninguna está liberada: nada puede salir.').waitFor();
    expect(await card.getByRole('button', { name: /Recogidas/ }).isDisabled()).toBe(true);
    await accessible(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    await context.setOffline(true);
    await card.getByRole('button', { name: 'Se llamó al transportista' }).click();
    await page.getByText(/sin enviar/).first().waitFor();
    await context.setOffline(false);
    await card.getByText(/Transportista llamado .* por badge-7/).waitFor({ timeout: 30_000 });
    await context.close();
  });
});
