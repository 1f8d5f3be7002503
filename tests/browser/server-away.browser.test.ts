import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { FactsReply, UnitReply } from '../../server/contract/replies.ts';
import { register, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';
import { doorAt, enter, type Entered } from '../support/enter.ts';
import { freePort, type ServerProcess, startServer } from '../support/server-process.ts';
import { accessible, contextOf, kiosk, lateFile, scanned, stands, wearBadge } from './kiosk-page.ts';


let database: FreshDatabase;
let server: ServerProcess;
let browser: Browser;
let origin: string;
let desk: Entered;
let kioskIn: Entered;

beforeAll(async () => {
  database = await freshDatabase();
  server = await startServer(await freePort(), { DATABASE_URL: database.url }, ['--empty']);
  browser = await openBrowser();
  origin = `http://127.0.0.1:${server.port}`;
  const entrance = await enter(doorAt(origin), await server.told(/\/link#(\S+)/));
  const put = (method: string, path: string, body: unknown, { headers }: Entered): Promise<Response> =>
    fetch(`${origin}/api/plants/P${path}`, { method, headers: { ...headers, 'content-type': 'application/json' }, body: JSON.stringify(body) });
  expect((await put('PUT', '/setup?validFrom=2026-01-01T00:00:00Z', wholePlant(), entrance.admin)).status).toBe(200);
  desk = await entrance.person('office-1');
  kioskIn = await entrance.kiosk('badge-7');
  const by = { who: desk.badge, device: desk.device, told: true };
  const units = [register('CF1', { promise: '2026-06-05' }), register('CF2', { sequence: 2, promise: '2099-01-01' })].map((fact) => ({ ...fact, ...by }));
  const replies = await (await put('POST', '/facts', { facts: wire(units) }, desk)).json() as FactsReply;
  expect(replies.replies.map(({ outcome }) => outcome)).toEqual(['recorded', 'recorded']);
});

afterAll(async () => {
  await browser?.close();
  await server?.kill();
  await database?.drop();
});

const story = async (unit: string): Promise<UnitReply> => (await fetch(`${origin}/api/plants/P/units/${unit}`, { headers: desk.headers })).json() as Promise<UnitReply>;
const saysUnsent = (page: Page, n: number): Promise<void> => page.getByText(`${n} not sent yet, kept on this device`).waitFor();

describe('a server that goes away in the middle of the day', () => {
  it('loses nothing of what the floor goes on to state, and gets it once and in order when it is back', async () => {
    const floor = await contextOf(browser, kioskIn, origin, { viewport: { width: 1280, height: 800 }, locale: 'en-US' });
    const first = await kiosk(floor, `${origin}/P`, 'S1');
    const second = await kiosk(floor, `${origin}/P`, 'S2');
    await wearBadge(first, 'badge-7');
    const office = await contextOf(browser, desk, origin, { viewport: { width: 1920, height: 1080 }, locale: 'en-US', acceptDownloads: true });
    const board = await office.newPage();
    await board.goto(`${origin}/P/board`);
    await scanned(first, 'CF1', 'Arrive');
    await board.getByRole('link', { name: 'CF1, Work' }).waitFor();

    await server.kill();
    await scanned(first, 'CF1', 'Finish');
    await saysUnsent(first, 1);
    await scanned(second, 'CF1', 'Arrive');
    await second.getByRole('button', { name: 'Hold', exact: true }).click();
    await second.getByRole('button', { name: 'Part missing' }).click();
    await scanned(first, 'CF2', 'Arrive');
    for (const page of [first, second]) await saysUnsent(page, 4);
    await first.getByText('The server does not answer. Trying again.').waitFor();
    expect(await stands(first)).toBe('CF2');
    expect(await stands(second)).toBe('CF1');
    await second.bringToFront();
    await second.getByRole('button', { name: 'Clear hold' }).waitFor();
    await accessible(second);
    await board.getByText('The server does not answer. Trying again.').waitFor();

    server = await startServer(server.port, { DATABASE_URL: database.url }, ['--empty']);
    for (const page of [first, second]) await page.getByText('not sent yet').waitFor({ state: 'detached', timeout: 60_000 });
    const stated = [...(await story('CF1')).facts, ...(await story('CF2')).facts].filter((fact) => fact.kind !== 'register').toSorted((a, b) => a.seq - b.seq);
    expect(stated.map((fact) => [fact.kind, 'unit' in fact && fact.unit, fact.counter])).toEqual([
      ['arrive', 'CF1', 1], ['finish', 'CF1', 2], ['arrive', 'CF1', 3], ['openHold', 'CF1', 4], ['arrive', 'CF2', 5],
    ]);
    expect(stated.map(({ happened }) => happened)).toEqual(stated.map(({ happened }) => happened).toSorted((a, b) => a - b));

    await board.getByRole('link', { name: 'CF1, Held' }).waitFor();
    await board.getByRole('link', { name: 'CF2, Work' }).waitFor();
    await board.getByText('Held S2').waitFor();
    await accessible(board);
    await board.goto(`${origin}/P/late?only=all&group=none&sort=unit`);
    await board.getByRole('link', { name: 'CF1' }).waitFor();
    const { rows, shown } = await lateFile(board);
    expect(rows.map((row) => [row['serial'], row['dealer'], row['promise'], row['place'], row['holds']])).toEqual([
      ['CF1', 'Dealer 01', '2026-06-05', 'S2', 'Part missing'], ['CF2', 'Dealer 01', '2099-01-01', 'S1', ''],
    ]);
    expect(rows.map((row) => [row['serial'], row['dealer'], row['promise'], row['working_minutes_late'], row['calendar_days_late']]))
      .toEqual(shown.map((cells) => [cells[0]!.split('\n')[0], cells[1], cells[2], cells.at(-2), cells.at(-1)]));
    await floor.close();
    await office.close();
  });
});
