import { mkdir, mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { AddressInfo } from 'node:net';
import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import { v7 } from 'uuid';
import { toWire } from '../../server/contract/fact-wire.ts';
import type { App } from '../../server/app.ts';
import type { Fact, FactKind } from '../../server/core/facts/fact.ts';
import { openHouse } from '../../server/open-house.ts';
import { launchPostgres } from '../../server/postgres/launch.ts';
import { openBrowser } from './browser.ts';
import { cookiesOf, doorAt, enter, type Entered, type Entrance } from './enter.ts';

const FOLDER = new URL('../../.screenshots/station/', import.meta.url).pathname;
const SIZES = { 'wide-1280x800': { width: 1280, height: 800 }, 'tall-800x1280': { width: 800, height: 1280 }, 'phone-390x844': { width: 390, height: 844 } };
/** A Tuesday in the middle of the first shift. */
const NOON = Date.parse('2026-06-02T10:20:00-04:00');
const ahead = NOON - Date.now();
const now = (): number => Date.now() + ahead;
const MINUTE = 60_000;

interface State {
  name: string;
  station: string;
  kiosk?: Entered | null;
  /** What is kept in the browser before the page opens. */
  kept?: Record<string, string>;
  act?(page: Page, context: BrowserContext): Promise<unknown>;
}

let counter = 0;
const said = (kind: FactKind, minutesAgo: number, own: object): Fact =>
  ({ id: v7(), kind, happened: now() - minutesAgo * MINUTE, told: false, who: 'lead-1', device: 'pictures', counter: ++counter, ...own }) as unknown as Fact;

/** The demo's set-up with a line in every state a station can be in. */
async function fillPlant({ actions }: App): Promise<void> {
  await actions.loadPlant(JSON.parse(await readFile('seed/plant.json', 'utf8')), 0, { who: 'office-1', device: 'desk-1' });
  const units = Array.from({ length: 20 }, (_, i) => `CF${1041 + i}`);
  const facts: Fact[] = units.map((unit, i) => said('register', 9_000, { unit, model: ['LF24', 'LF29', 'LF36'][i % 3], options: [], order: `SO-${700 + i}`, dealer: `Dealer ${i % 5}`, sequence: i + 1, plannedRelease: null, wish: null, promise: '2026-06-12' }));
  const at = (unit: number, station: string, minutesAgo: number): void => void facts.push(said('arrive', minutesAgo, { unit: units[unit]!, station }));
  at(0, 'FL10', 31);
  at(1, 'TK10', 40);
  facts.push(said('openHold', 12, { unit: units[1], reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' }));
  at(2, 'PL10', 26);
  facts.push(said('openStop', 6, { station: 'PL10', reason: 'Hoist out of order', note: '' }));
  at(3, 'EL10', 58);
  facts.push(said('finish', 9, { unit: units[3], station: 'EL10' }));
  at(4, 'CB10', 44);
  at(5, 'SW10', 38);
  facts.push(said('findWork', 20, { unit: units[5], what: 'Wire not clipped behind the galley', zone: 'WALLR', severity: 'safety', belongsTo: 'EL10' }), said('coverZones', 4, { unit: units[5], station: 'SW10', zones: ['WALLR'] }));
  for (const [i, station] of [[6, 'PD10'], [7, 'PD10'], [8, 'PD10'], [9, 'PD10'], [10, 'PD10']] as const) at(i, station, 90 - i);
  at(11, 'CK10', 22);
  at(12, 'PL20', 19);
  const { replies } = await actions.recordFacts('COBBLE', facts.map(toWire));
  const refused = replies.filter(({ outcome }) => outcome === 'refused');
  if (refused.length > 0) throw new Error(JSON.stringify(refused[0]));
}

const offline = (_: Page, context: BrowserContext): Promise<void> => context.setOffline(true);
const touch = (page: Page, name: string | RegExp): Promise<void> => page.getByRole('button', { name }).first().click();

async function overrideUnchecked(page: Page, context: BrowserContext): Promise<void> {
  await page.goto(page.url().replace('/station', '/access').replace('?', '?unit=CF1046&'));
  await page.getByLabel(/^Reason CF1046/).waitFor();
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await context.setOffline(true);
  await page.getByLabel(/^Reason CF1046/).fill('Reached from below');
  await page.getByLabel(/^PIN of badge/).fill('80317264');
  await touch(page, 'Let it stand');
  await page.getByText('Not checked yet').first().waitFor();
}

function statesOf(kiosk: Entered, revoked: Entered, narrow: Entered): State[] {
  const spanish = { 'stationhand-language': 'es' };
  const states: State[] = [
    { name: 'choose', station: '' }, { name: 'empty', station: 'CB20' }, { name: 'work', station: 'FL10' }, { name: 'several', station: 'PD10' }, { name: 'held', station: 'TK10' },
    { name: 'stopped', station: 'PL10' }, { name: 'blocked', station: 'EL10' }, { name: 'check', station: 'CK10' }, { name: 'no-badge', station: 'FL10', kept: { 'stationhand-who': '' } },
    { name: 'time-panel', station: 'FL10', act: (page) => touch(page, /It was at/) }, { name: 'pull-off-panel', station: 'FL10', act: (page) => touch(page, 'Pull off') },
    { name: 'offline-unsent', station: 'FL10', act: async (page, context) => { await offline(page, context); await touch(page, /^Finish/); await page.getByText(/not sent yet/).first().waitFor(); } },
    { name: 'not-paired', station: 'FL10', kiosk: null }, { name: 'revoked', station: 'FL10', kiosk: revoked },
    { name: 'wrong-code', station: 'FL10', act: async (page) => { await page.locator('input[name=serial]').fill('1ZZTB2427T000000O'); await page.keyboard.press('Enter'); await page.locator('.said.answer').waitFor(); } },
    { name: 'gate-refused', station: 'SW10', act: async (page) => { await page.goto(page.url().replace('/station', '/access').replace('?', '?unit=CF1046&')); await page.locator('.list li').first().waitFor(); } },
    { name: 'refused', station: 'FL10', kiosk: narrow, act: async (page) => { await touch(page, /^Finish/); await page.getByRole('alert').first().waitFor(); } },
    { name: 'override-unchecked-access', station: 'SW10', act: overrideUnchecked },
    { name: 'override-unchecked-station', station: 'SW10', act: async (page, context) => { await overrideUnchecked(page, context); await page.goto(page.url().replace('/access', '/station')); await page.getByText('Not checked yet').first().waitFor(); } },
    { name: 'hold-panel', station: 'FL10', act: (page) => touch(page, /^Hold$/) }, { name: 'short-panel', station: 'FL10', act: (page) => touch(page, 'Leave short') }, { name: 'device-panel', station: 'FL10', act: (page) => touch(page, 'This device') },
    { name: 'menu', station: 'FL10', act: (page) => page.locator('nav summary').first().click() },
    { name: 'spanish', station: 'TK10', kept: spanish }, { name: 'dark', station: 'TK10', kept: { 'stationhand-theme': 'dark' } }, { name: 'left-handed', station: 'TK10', kept: { 'stationhand-hand': 'left' } },
    { name: 'spanish-dark-several', station: 'PD10', kept: { ...spanish, 'stationhand-theme': 'dark' } }, { name: 'server-away', station: 'FL10', act: async (page, context) => { await offline(page, context); await page.getByText(/does not answer/).first().waitFor(); } },
  ];
  return states.map((state) => ({ kiosk, ...state }));
}

/** What is too small to be touched in gloves, cut off or wider than the screen, for a person to look at. */
function problemsOf(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    const least = 75.5;
    if (document.documentElement.scrollWidth > innerWidth) found.push(`the page is ${document.documentElement.scrollWidth} wide on ${innerWidth}`);
    const roots: ParentNode[] = [document];
    for (let root = roots.pop(); root; root = roots.pop()) {
      for (const element of root.querySelectorAll<HTMLElement>('*')) {
        if (element.shadowRoot) roots.push(element.shadowRoot);
        const box = element.getBoundingClientRect();
        if (box.width === 0 || getComputedStyle(element).visibility === 'hidden') continue;
        const words = (element.innerText ?? '').trim().slice(0, 40) || element.getAttribute('name') || element.className;
        if (element.matches('button, a[href], input, select, summary, textarea') && (box.height < least || box.width < least)) found.push(`${element.tagName} "${words}" is ${Math.round(box.width)} x ${Math.round(box.height)}`);
        if (element.matches('button, span, h1, h2, p, b') && element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 0 && getComputedStyle(element).display !== 'inline') found.push(`${element.tagName} "${words}" is cut: ${element.scrollWidth} in ${element.clientWidth}`);
        if (box.right > innerWidth + 1) found.push(`${element.tagName} "${words}" ends at ${Math.round(box.right)}`);
      }
    }
    return [...new Set(found)];
  });
}

async function picture(browser: Browser, origin: string, state: State, size: string, viewport: BrowserContextOptions['viewport']): Promise<void> {
  const context = await browser.newContext({ viewport: viewport ?? null, hasTouch: true, locale: 'en-US' });
  if (state.kiosk) await context.addCookies(cookiesOf(state.kiosk, origin));
  await context.addInitScript(`for (const [key, value] of Object.entries(${JSON.stringify({ 'stationhand-who': 'super-1', ...(state.kiosk ? { 'stationhand-device': state.kiosk.device } : {}), ...state.kept })})) localStorage.getItem(key) ?? localStorage.setItem(key, value)`);
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  try {
    await page.goto(`${origin}/COBBLE/station${state.station === '' ? '' : `?at=${state.station}`}`);
    await page.locator('sh-station-screen button, sh-sign-in-screen button').first().waitFor();
    await page.waitForTimeout(700);
    await state.act?.(page, context);
    await page.waitForTimeout(500);
  } catch (error) {
    console.log(`${state.name} ${size}: ${String(error).split('\n').slice(0, 2).join(' ')}`);
  }
  await page.screenshot({ path: join(FOLDER, `${state.name}.${size}.png`), fullPage: true });
  const problems = await problemsOf(page);
  if (problems.length > 0) console.log(`${state.name} ${size}: ${problems.join('; ')}`);
  await context.close();
}

async function people(entrance: Entrance, origin: string): Promise<{ kiosk: Entered; revoked: Entered; narrow: Entered }> {
  const kiosk = await entrance.kiosk('super-1', ['supervisor', 'lead', 'inspector'], null, 'COBBLE');
  const revoked = await entrance.kiosk('super-1', ['lead'], null, 'COBBLE');
  const narrow = await entrance.kiosk('super-1', ['lead'], ['CB10'], 'COBBLE');
  const { headers } = entrance.admin;
  const devices = (await (await fetch(`${origin}/api/plants/COBBLE/devices`, { headers })).json()) as { id: string; code: string }[];
  await fetch(`${origin}/api/plants/COBBLE/devices/${devices.find(({ code }) => code === revoked.device)!.id}/revoke`, { method: 'POST', headers });
  return { kiosk, revoked, narrow };
}

/** The Station screen in every state it can be in, on a wide and a tall tablet and a phone, for a person to look at. */
async function takeStationPictures(only: readonly string[]): Promise<void> {
  const data = await mkdtemp(join(tmpdir(), 'stationhand-station-'));
  const postgres = await launchPostgres(data, () => {});
  const app = await openHouse(postgres.url, (message) => console.log(message), { clock: now, requestsAMinute: 100_000 });
  const browser = await openBrowser();
  try {
    await fillPlant(app);
    await app.fastify.listen({ host: '127.0.0.1', port: 0 });
    const origin = `http://127.0.0.1:${(app.fastify.server.address() as AddressInfo).port}`;
    const entrance = await enter(doorAt(origin), (await app.actions.access.firstLink())!);
    const { kiosk, revoked, narrow } = await people(entrance, origin);
    await mkdir(FOLDER, { recursive: true });
    for (const state of statesOf(kiosk, revoked, narrow)) {
      if (only.length > 0 && !only.includes(state.name)) continue;
      for (const [size, viewport] of Object.entries(SIZES)) await picture(browser, origin, state, size, viewport);
    }
  } finally {
    await browser.close();
    await app.close();
    await postgres.stop();
    await rm(data, { recursive: true, force: true });
  }
}

await takeStationPictures(process.argv.slice(2));
