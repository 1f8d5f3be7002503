import type { AddressInfo } from 'node:net';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PersonListed } from '../../server/contract/access.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { qualityPlant } from '../support/given-quality.ts';
import { accessible, contextOf, wearBadge } from './kiosk-page.ts';
import { programKept } from './offline-page.ts';

const PIN = '80317264';
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
  for (const unit of ['CF1', 'CF2', 'CF3']) {
    await house.app.actions.recordFacts('P', wire([
      register(unit), stated(0, 'arrive', { unit, station: 'B' }, { happened: Date.now() - 30_000 }), stated(0, 'findWork', { unit, what: 'Wire loose', zone: 'wall', severity: 'safety', belongsTo: 'A' }, { happened: Date.now() - 20_000 }),
      stated(0, 'coverZones', { unit, station: 'B', zones: ['wall'] }, { happened: Date.now() - 10_000 }),
    ]));
  }
  await house.app.fastify.listen({ host: '127.0.0.1', port: 0 });
  const origin = `http://127.0.0.1:${(house.app.fastify.server.address() as AddressInfo).port}`;
  base = `${origin}/P`;
  const entrance = await house.enter();
  const kiosk = await entrance.kiosk('super-1', ['supervisor', 'lead']);
  await entrance.kiosk('lead-1', ['lead']);
  for (const badge of ['super-1', 'lead-1']) await givePin(badge, entrance.admin.headers);
  context = await contextOf(browser, kiosk, origin, { viewport: { width: 1280, height: 800 }, locale: 'en-US' });
  page = await context.newPage();
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

async function givePin(badge: string, headers: { cookie: string }): Promise<void> {
  const people = (await house.app.fastify.inject({ url: '/api/plants/P/people', headers })).json<PersonListed[]>();
  const { id, name, roles } = people.find((one) => one.badge === badge)!;
  const payload = { name, badge, login: null, language: 'en', roles, pin: PIN };
  expect((await house.app.fastify.inject({ method: 'PUT', url: `/api/plants/P/people/${id}`, headers, payload })).statusCode).toBe(204);
}

const breach = async (unit: string) => (await house.app.actions.unitStory('P', unit)).state.breaches[0];
const overridden = async (unit: string) => (await house.app.actions.unitStory('P', unit)).facts.filter(({ kind }) => kind === 'overrideGate').length;
const mark = () => page.getByText('Not checked yet').first();
const online = (): Promise<void> => context.setOffline(false);

async function override(unit: string, pin: string, reason: string): Promise<void> {
  await page.goto(`${base}/access?unit=${unit}&at=B`);
  await page.getByRole('heading', { name: 'Passed gates' }).waitFor();
  await programKept(page);
  await page.getByLabel('Badge', { exact: true }).waitFor();
  await context.setOffline(true);
  await page.getByLabel(`Reason ${unit} wall`).fill(reason);
  await page.getByLabel(/^PIN of badge/).fill(pin);
  await page.getByRole('button', { name: 'Let it stand' }).click();
}

describe('an override that is made without a network', () => {
  it('is marked on the device until the server has checked its PIN', async () => {
    await page.goto(`${base}/access?unit=CF1&at=B`);
    await page.getByLabel('Badge', { exact: true }).waitFor();
    await wearBadge(page, 'super-1');
    await override('CF1', PIN, 'Reached from below');
    await page.getByText('The gate was overridden by super-1: Reached from below. The server has not checked it yet.').waitFor();
    await mark().waitFor();
    await accessible(page);
    expect(await breach('CF1')).toMatchObject({ settled: null });
    expect(await page.getByText('gate passed').count()).toBe(0);
    // Neither the disk nor what the page keeps otherwise has the PIN.
    const kept = await page.evaluate(() => new Promise<string>((resolve) => {
      const opening = indexedDB.open('stationhand');
      opening.onsuccess = () => {
        const reading = opening.result.transaction(['facts', 'meta']).objectStore('facts').getAll();
        reading.onsuccess = () => resolve(JSON.stringify([reading.result, { ...localStorage }, { ...sessionStorage }]));
      };
    }));
    expect(kept).toContain('Reached from below');
    expect(kept).not.toContain(PIN);
    await online();
    await mark().waitFor({ state: 'detached' });
    await expect.poll(() => breach('CF1')).toMatchObject({ settled: { who: 'super-1', reason: 'Reached from below' } });
    expect(await overridden('CF1')).toBe(1);
    expect(await page.getByText('Refused').count()).toBe(0);
  });

  it.each([['a wrong PIN', 'super-1', '11112222', 'The PIN was not that of the badge.'], ['no right to it', 'lead-1', PIN, 'The person had no right to it when it happened.']])('with %s is refused, says so, and the gate holds again', async (_, badge, pin, why) => {
    await page.goto(`${base}/access?unit=CF2&at=B`);
    await page.getByLabel('Badge', { exact: true }).waitFor();
    await wearBadge(page, badge);
    await override('CF2', pin, 'Looks good');
    await mark().waitFor();
    await online();
    await page.getByRole('alert').getByText(`Refused: Gate overridden CF2. ${why} The gate holds again.`).waitFor();
    expect(await mark().count()).toBe(0);
    await page.getByText('gate passed').waitFor();
    await accessible(page);
    expect(await breach('CF2')).toMatchObject({ settled: null });
    await page.getByRole('button', { name: 'I have read it' }).click();
    await page.getByText('Refused').waitFor({ state: 'detached' });
  });

  it('outlives the page: on the Station screen it has its mark still, and its PIN is asked for again', async () => {
    await page.goto(`${base}/access?unit=CF3&at=B`);
    await page.getByLabel('Badge', { exact: true }).waitFor();
    await wearBadge(page, 'super-1');
    await override('CF3', PIN, 'Shown to the inspector');
    await mark().waitFor();
    await page.goto(`${base}/station?at=B`);
    await page.getByText('CF3').first().waitFor();
    await page.getByRole('button', { name: 'CF3', exact: true }).click();
    await mark().waitFor();
    await accessible(page);
    await online();
    await page.evaluate(() => Object.assign(localStorage, { 'stationhand-language': 'es' }));
    await page.reload();
    await page.getByRole('button', { name: 'CF3', exact: true }).click();
    await page.getByText('Sin comprobar').waitFor();
    await page.getByText('Control autorizado por super-1: Shown to the inspector. El servidor todavía no lo ha comprobado.').waitFor();
    await accessible(page);
    expect(await overridden('CF3')).toBe(0);
    await page.getByLabel('PIN de la credencial super-1, otra vez').fill(PIN);
    await page.getByRole('button', { name: 'Comprobar' }).click();
    await page.getByText('Sin comprobar').waitFor({ state: 'detached' });
    await expect.poll(() => breach('CF3')).toMatchObject({ settled: { reason: 'Shown to the inspector' } });
    expect(await overridden('CF3')).toBe(1);
  });
});
