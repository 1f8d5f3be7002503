import type { AddressInfo } from 'node:net';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PersonListed } from '../../server/contract/access.ts';
import { BY, register, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import type { Entered } from '../support/enter.ts';
import { accessible, contextOf } from './kiosk-page.ts';
import { onDisk } from './offline-page.ts';

const PASSWORD = 'a long phrase for tests';
const ROLES = ['productionControl', 'supervisor'] as const;
let house: TestHouse;
let browser: Browser;
let origin: string;
let ahead = 0;

beforeAll(async () => {
  house = await testHouse(0, { clock: () => Date.now() + ahead });
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  await house.app.actions.recordFacts('P', wire(['CF1', 'CF2', 'CF3', 'CF4', 'CF5'].map((unit, at) => register(unit, { sequence: at + 1 }))));
  await house.app.fastify.listen({ host: '127.0.0.1', port: 0 });
  origin = `http://127.0.0.1:${(house.app.fastify.server.address() as AddressInfo).port}`;
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const asked = async (method: 'GET' | 'POST' | 'PUT', url: string, { headers }: Pick<Entered, 'headers'>, payload?: object) => house.app.fastify.inject({ method, url, headers, ...(payload ? { payload } : {}) });
/** What was said of the unit's promise: by whom, and why. */
const promised = async (unit: string): Promise<string[]> =>
  (await house.app.actions.unitStory('P', unit)).facts.flatMap((fact) => (fact.kind === 'promise' ? [`${fact.who}: ${fact.reason}`] : []));

async function desk(login: string): Promise<{ entered: Entered; context: BrowserContext; page: Page }> {
  const entered = await anew(login);
  const context = await contextOf(browser, entered, origin, { viewport: { width: 1366, height: 768 }, locale: 'en-US' });
  return { entered, context, page: await context.newPage() };
}

/** The person, let in by an administrator who is let in again wherever time went by. */
async function anew(login: string): Promise<Entered> {
  const entrance = await house.enter();
  const reply = await house.app.fastify.inject({ method: 'POST', url: '/api/sign-in', headers: entrance.admin.headers, payload: { login: 'admin', password: PASSWORD, device: entrance.admin.device } });
  expect(reply.statusCode).toBe(200);
  const session = [reply.headers['set-cookie'] ?? []].flat().map((cookie) => cookie.split(';')[0]!);
  const names = session.map((cookie) => cookie.split('=')[0]);
  const kept = entrance.admin.headers.cookie.split('; ').filter((cookie) => !names.includes(cookie.split('=')[0]));
  entrance.admin.headers.cookie = [...kept, ...session].join('; ');
  return entrance.person(login, ROLES, ['P']);
}

async function openUnit(page: Page, unit: string): Promise<void> {
  await page.goto(`${origin}/P/unit/${unit}`);
  await page.getByText('Change', { exact: true }).or(page.locator('details.change summary')).first().click();
  // The server said who is signed in here: no badge is asked for.
  await page.getByLabel('Badge', { exact: true }).waitFor({ state: 'detached' });
  await page.getByLabel('Why').waitFor();
}

/** Another promise of the unit that is shown, for `reason`. */
async function promise(page: Page, reason: string): Promise<void> {
  const n = (await onDisk(page)).length;
  await page.locator('sh-change-form input[name=reason]').fill(reason);
  await page.locator('sh-change-form button').last().click();
  await expect.poll(async () => (await onDisk(page)).length).toBe(n + 1);
}

async function signIn(page: Page, login: string): Promise<void> {
  await page.getByLabel('Name', { exact: true }).fill(login);
  await page.getByLabel('Password', { exact: true }).fill(PASSWORD);
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await page.getByRole('button', { name: 'Sign out' }).waitFor();
}

async function endByLink(entered: Entered): Promise<void> {
  const { admin } = await house.enter();
  const { id } = (await asked('GET', '/api/plants/P/people', admin)).json<PersonListed[]>().find(({ login }) => login === entered.badge)!;
  const { link } = (await asked('POST', `/api/plants/P/people/${id}/link`, admin)).json<{ link: string }>();
  expect((await asked('POST', '/api/links', { headers: { cookie: '' } }, { token: link.split('#')[1], password: PASSWORD })).statusCode).toBe(200);
}

const ENDS: [string, string, string, (entered: Entered) => Promise<unknown>][] = [
  ['signed out elsewhere', 'ann-1', 'CF1', (entered) => asked('POST', '/api/sign-out', entered)],
  ['ended by a new password', 'ann-2', 'CF2', endByLink],
  ['timed out', 'ann-3', 'CF3', async () => (ahead += 31 * 60_000)],
  ['over after twelve hours', 'ann-4', 'CF4', async () => (ahead += 13 * 3_600_000)],
];

describe('a session that ends while facts wait', () => {
  it.each(ENDS)('because it was %s: they are kept, signing in is asked for, and the same person\'s are sent once', async (_how, login, unit, end) => {
    const { entered, context, page } = await desk(login);
    await openUnit(page, unit);
    await context.setOffline(true);
    await promise(page, 'Axles late');
    await end(entered);
    await promise(page, 'Axles later still');
    await context.setOffline(false);
    await page.getByRole('alert').getByText(/^◆ The server does not let this device in any more/).waitFor({ timeout: 30_000 });
    await accessible(page);
    expect(await promised(unit)).toEqual([]);
    expect((await onDisk(page)).map(({ refused, version }) => [refused, version])).toEqual([[null, null], [null, null]]);
    await page.getByRole('alert').getByRole('link', { name: 'Sign in' }).click();
    await page.getByText('2 not sent yet, kept on this device. They are sent once somebody signs in here, or the device is paired.').waitFor();
    await accessible(page);
    await signIn(page, login);
    await expect.poll(() => promised(unit)).toEqual([`${login}: Axles late`, `${login}: Axles later still`]);
    await expect.poll(async () => (await onDisk(page)).filter(({ version }) => version === null)).toEqual([]);
    expect(page.url()).toBe(`${origin}/P/unit/${unit}`);
    await context.close();
  });

  it('and another person signs in: what was stated in the session counts as its person\'s, what was stated after it waits for that person', async () => {
    await anew('bob-5');
    const { entered, context, page } = await desk('ann-5');
    await openUnit(page, 'CF5');
    await context.setOffline(true);
    await promise(page, 'Said in the session');
    // Whoever clocks are compared by: the next is stated after the end.
    await new Promise((resolve) => setTimeout(resolve, 50));
    await asked('POST', '/api/sign-out', entered);
    await new Promise((resolve) => setTimeout(resolve, 50));
    await promise(page, 'Said after it');
    await context.setOffline(false);
    await page.getByRole('alert').getByRole('link', { name: 'Sign in' }).click();
    await signIn(page, 'bob-5');
    await expect.poll(() => promised('CF5')).toEqual(['ann-5: Said in the session']);
    await page.getByRole('alert').getByText('1 stated by ann-5 wait on this device. They are sent once ann-5 signs in here, in no other name.').waitFor();
    await accessible(page);
    await openUnit(page, 'CF5');
    await promise(page, 'Said by another');
    await expect.poll(() => promised('CF5')).toEqual(['ann-5: Said in the session', 'bob-5: Said by another']);
    expect((await onDisk(page)).filter(({ refused }) => refused !== null)).toEqual([]);
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByText('1 stated by ann-5 wait on this device.').waitFor();
    await signIn(page, 'ann-5');
    await expect.poll(async () => (await promised('CF5')).toSorted()).toEqual(['ann-5: Said after it', 'ann-5: Said in the session', 'bob-5: Said by another']);
    await page.getByText('wait on this device').waitFor({ state: 'detached' });
    await context.close();
  });
});
