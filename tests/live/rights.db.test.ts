import type { AddressInfo } from 'node:net';
import { io, type Socket } from 'socket.io-client';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PersonListed } from '../../server/contract/access.ts';
import { type Holder, ROUTE_RIGHTS } from '../../server/core/access/rights.ts';
import { ROLES } from '../../server/core/access/roles.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import type { Entered, Entrance } from '../support/enter.ts';

const HOLDERS: readonly Holder[] = [...ROLES, 'kiosk'];
const EVENTS = Object.entries(ROUTE_RIGHTS).filter(([name]) => name.startsWith('SOCKET ')).map(([name, right]) => [name.slice('SOCKET '.length), right as readonly Holder[]] as const);
const LONGEST_MS = 15_000;

interface Listener { holder: Holder; of: 'P' | 'Q'; entered: Entered; socket: Socket; heard: Set<string> }

let house: TestHouse;
let entrance: Entrance;
let address: string;
const listeners: Listener[] = [];

beforeAll(async () => {
  house = await testHouse();
  for (const code of ['P', 'Q']) await house.app.actions.loadPlant(wholePlant({ code }), 0, BY);
  for (const code of ['P', 'Q']) await house.app.actions.recordFacts(code, wire([register('A1')]));
  entrance = await house.enter();
  await house.app.fastify.listen({ host: '127.0.0.1', port: 0 });
  address = `http://127.0.0.1:${(house.app.fastify.server.address() as AddressInfo).port}`;
  for (const holder of HOLDERS) for (const of of ['P', 'Q'] as const) {
    const badge = `${holder}-${of}`.toLowerCase();
    const entered = holder === 'kiosk' ? await entrance.kiosk(badge, ['lead'], null, of) : await entrance.person(badge, [holder], [of]);
    const socket = connect(entered, of);
    const heard = new Set<string>();
    socket.onAny((event: string) => void heard.add(event));
    listeners.push({ holder, of, entered, socket, heard });
  }
  await until(() => listeners.every(({ socket }) => socket.connected));
});
afterAll(async () => {
  for (const { socket } of listeners) socket.disconnect();
  await house.close();
});

function connect(entered: Pick<Entered, 'headers'> | null, plant: string): Socket {
  return io(address, { auth: { plant }, extraHeaders: { ...entered?.headers }, transports: ['websocket'], reconnection: false, forceNew: true });
}

async function comes(entered: Pick<Entered, 'headers'> | null, plant: string): Promise<string> {
  const socket = connect(entered, plant);
  const told = await new Promise<string>((resolve) => {
    socket.on('connect', () => resolve('connected'));
    socket.on('connect_error', (error) => resolve((error as Error & { data?: { error: { code: string } } }).data?.error.code ?? 'no socket'));
  });
  socket.disconnect();
  return told;
}

async function until(done: () => boolean): Promise<void> {
  const latest = performance.now() + LONGEST_MS;
  while (!done() && performance.now() < latest) await new Promise((resolve) => setTimeout(resolve, 20));
}

/** What makes the server say `event` to the screens of P. */
const CAUSES: Record<string, () => Promise<unknown>> = {
  changed: () => house.app.actions.recordFacts('P', wire([stated(0, 'openStop', { station: 'S1', reason: 'R', note: '' })])),
  setupChanged: () => house.app.actions.loadPlant(wholePlant({ code: 'P', name: 'Renamed' }), 1, BY),
  forecastMade: () => house.app.actions.recordFacts('P', wire([stated(0, 'arrive', { unit: 'A1', station: 'S1' })])),
  devices: async () => listeners.find(({ holder, of }) => holder === 'kiosk' && of === 'P')!.socket.emit('device', { station: 'S1', unsent: 1, oldest: 1_000, clockAhead: 0 }),
};

describe('every event of the socket, for every role of its own and of another plant', () => {
  it.each(EVENTS.filter(([event]) => event !== 'device'))('%s is heard by who may, in its plant alone', async (event, right) => {
    // What each was told on coming is heard already.
    await new Promise((resolve) => setTimeout(resolve, 2_500));
    for (const { heard } of listeners) heard.clear();
    await CAUSES[event]!();
    const may = ({ holder, of }: Listener): boolean => of === 'P' && right.includes(holder);
    await until(() => listeners.filter(may).every(({ heard }) => heard.has(event)));
    await new Promise((resolve) => setTimeout(resolve, 500));
    expect(listeners.map((one) => [one.holder, one.of, one.heard.has(event)])).toEqual(listeners.map((one) => [one.holder, one.of, may(one)]));
  });

  it.each(HOLDERS)('device: what a %s says of itself counts in its own plant, and nowhere else', async (holder) => {
    const right = EVENTS.find(([event]) => event === 'device')![1];
    for (const of of ['P', 'Q'] as const) {
      const { socket, entered } = listeners.find((one) => one.holder === holder && one.of === of)!;
      socket.emit('device', { station: 'S2', unsent: 7, oldest: null, clockAhead: 0, plant: of === 'P' ? 'Q' : 'P' });
      const told = (plant: string): boolean => house.app.actions.devices.of(plant).some(({ device, unsent }) => device === entered.device && unsent === 7);
      if (right.includes(holder)) await until(() => told(of));
      expect([holder, of, told(of), told(of === 'P' ? 'Q' : 'P')]).toEqual([holder, of, right.includes(holder), false]);
    }
  });

  it.each(HOLDERS)('a %s comes to its own plant, and is not told that there is another', async (holder) => {
    const [own, other] = (['P', 'Q'] as const).map((of) => listeners.find((one) => one.holder === holder && one.of === of)!.entered);
    expect([await comes(own!, 'P'), await comes(own!, 'Q'), await comes(own!, 'NONE')]).toEqual(['connected', 'unknownPlant', 'unknownPlant']);
    expect([await comes(other!, 'Q'), await comes(other!, 'P')]).toEqual(['connected', 'unknownPlant']);
  });

  it('nobody comes without being let in, nor by half of what a person is let in by', async () => {
    const { entered } = listeners.find(({ holder, of }) => holder === 'supervisor' && of === 'P')!;
    const half = (name: string): { headers: { cookie: string } } => ({ headers: { cookie: entered.headers.cookie.split('; ').find((cookie) => cookie.startsWith(name))! } });
    expect([await comes(null, 'P'), await comes(half('stationhand-session'), 'P'), await comes(half('stationhand-device'), 'P')]).toEqual(['noIdentity', 'noIdentity', 'noIdentity']);
  });
});

describe('a right that ends', () => {
  const ended = (holder: Holder): Promise<string> => new Promise((resolve) => listeners.find((one) => one.holder === holder && one.of === 'P')!.socket.on('disconnect', resolve));
  const ask = (method: 'PUT' | 'POST', url: string, headers: Entered['headers'], payload?: object) => house.app.fastify.inject({ method, url, headers, ...(payload ? { payload } : {}) });

  it('ends the socket at once: signed out, the only role taken, a new password', async () => {
    const of = (holder: Holder): Entered => listeners.find((one) => one.holder === holder && one.of === 'P')!.entered;
    const people = (await house.app.fastify.inject({ url: '/api/plants/P/people', headers: entrance.admin.headers })).json<PersonListed[]>();
    const idOf = (holder: Holder): string => people.find(({ badge }) => badge === of(holder).badge)!.id;
    const gone = ['lead', 'worker', 'inspector'].map((holder) => ended(holder as Holder));
    expect((await ask('POST', '/api/sign-out', of('lead').headers)).statusCode).toBe(204);
    expect((await ask('PUT', `/api/plants/P/people/${idOf('worker')}`, entrance.admin.headers, { name: 'Worker', login: 'worker-p', badge: 'worker-p', language: 'en', roles: [] })).statusCode).toBe(204);
    const { link } = (await ask('POST', `/api/plants/P/people/${idOf('inspector')}/link`, entrance.admin.headers)).json<{ link: string }>();
    expect((await ask('POST', '/api/links', { cookie: '' }, { token: link.split('#')[1], password: 'another phrase for tests' })).statusCode).toBe(200);
    expect(await Promise.all(gone)).toEqual(['io server disconnect', 'io server disconnect', 'io server disconnect']);
    expect([await comes(of('lead'), 'P'), await comes(of('worker'), 'P'), await comes(of('inspector'), 'P')]).toEqual(['noIdentity', 'unknownPlant', 'noIdentity']);
    expect(listeners.filter(({ socket }) => !socket.connected).map(({ holder, of: plant }) => [holder, plant])).toEqual([['lead', 'P'], ['worker', 'P'], ['inspector', 'P']]);
  });
});
