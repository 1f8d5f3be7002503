import { io, type Socket } from 'socket.io-client';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { DeviceRow } from '../../server/contract/devices.ts';
import { applyChange, type ClientToServerEvents, type ServerToClientEvents } from '../../server/contract/live.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { openHouse } from '../../server/open-house.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';

const LONGEST_MS = 20_000;

/** A screen as the kiosk is one: fetches when it connects or an event does not follow its snapshot. */
interface Screen { socket: Socket<ServerToClientEvents, ClientToServerEvents>; snapshot: Snapshot | null }

describe('announcements', () => {
  let house: TestHouse;
  let extraHeaders: Record<string, string>;
  const screens: Screen[] = [];
  let address: string;
  beforeEach(async () => {
    house = await testHouse();
    await house.app.actions.loadPlant(wholePlant(), 0, BY);
    extraHeaders = (await (await house.enter()).kiosk('badge-1')).headers;
    address = await house.listen();
  });
  afterEach(async () => {
    for (const { socket } of screens.splice(0)) socket.disconnect();
    await house.close();
  });

  function screen(auth: object, headers = extraHeaders): Screen {
    const socket: Socket<ServerToClientEvents, ClientToServerEvents> = io(address, { auth, extraHeaders: headers, transports: ['websocket'], reconnectionDelay: 50, reconnectionDelayMax: 100 });
    const own: Screen = { socket, snapshot: null };
    const refresh = async (): Promise<void> => void (own.snapshot = await house.app.actions.snapshot('P'));
    socket.on('connect', () => void refresh());
    socket.on('setupChanged', () => void refresh());
    socket.on('changed', (change) => {
      if (own.snapshot && change.version <= own.snapshot.version) return;
      const next = own.snapshot && applyChange(own.snapshot, change);
      if (next) own.snapshot = next;
      else void refresh();
    });
    screens.push(own);
    return own;
  }
  /** How soon it comes is measured by the bench `live`. */
  const until = async (told: () => boolean): Promise<void> => {
    const latest = performance.now() + LONGEST_MS;
    while (!told()) {
      if (performance.now() > latest) throw new Error(`not within ${LONGEST_MS} ms`);
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
  };
  const standsAt = (own: Screen, unit: string): string | null => own.snapshot?.units.find(({ state }) => state.unit === unit)?.state.place?.station ?? null;
  const identity = { plant: 'P' };

  it('reach every screen and bring it to the snapshot', async () => {
    const boards = [screen(identity), screen(identity)];
    await until(() => boards.every(({ snapshot }) => snapshot !== null));
    await house.app.actions.recordFacts('P', wire([register('A1'), stated(0, 'arrive', { unit: 'A1', station: 'S1' })]));
    await until(() => boards.every((board) => standsAt(board, 'A1') === 'S1'));
    await house.app.actions.recordFacts('P', wire([stated(1, 'arrive', { unit: 'A1', station: 'S2' }), stated(2, 'openStop', { station: 'S2', reason: 'R', note: '' })]));
    await until(() => boards.every((board) => standsAt(board, 'A1') === 'S2' && board.snapshot?.stops.length === 1));
    await house.app.actions.recordFacts('P', wire([stated(3, 'ship', { unit: 'A1', carrier: '' })]));
    await until(() => boards.every((board) => board.snapshot?.units.length === 0));
    const fresh = await house.app.actions.snapshot('P');
    for (const board of boards) expect({ ...board.snapshot, at: 0 }).toEqual({ ...fresh, at: 0 });
  });

  it('come from another server on the same database too', async () => {
    const other = await openHouse(house.url, () => {});
    try {
      const board = screen(identity);
      await until(() => board.snapshot !== null);
      await other.actions.recordFacts('P', wire([register('A1'), stated(0, 'arrive', { unit: 'A1', station: 'S1' })]));
      await until(() => standsAt(board, 'A1') === 'S1');
    } finally {
      await other.close();
    }
  });

  it('leave nothing out after a broken connection', async () => {
    const board = screen(identity);
    await until(() => board.snapshot !== null);
    board.socket.disconnect();
    await house.app.actions.recordFacts('P', wire([register('A1'), stated(0, 'arrive', { unit: 'A1', station: 'S1' })]));
    await house.app.actions.recordFacts('P', wire([stated(1, 'arrive', { unit: 'A1', station: 'S2' })]));
    board.socket.connect();
    await until(() => standsAt(board, 'A1') === 'S2');
    await house.app.actions.recordFacts('P', wire([stated(2, 'arrive', { unit: 'A1', station: 'S3' })]));
    await until(() => standsAt(board, 'A1') === 'S3');
  });

  it('tell when another set-up holds', async () => {
    const board = screen(identity);
    await until(() => board.snapshot !== null);
    await new Promise((resolve) => setTimeout(resolve, 200));
    await house.app.actions.loadPlant(wholePlant({ name: 'Renamed' }), 1, BY);
    await until(() => board.snapshot?.plant.name === 'Renamed');
  });

  it('tell of each kiosk what it said of itself, and when it is gone', async () => {
    const said: DeviceRow[][] = [];
    const paired = await (await house.enter()).kiosk('badge-7');
    const worn = { ...identity, who: 'badge-1' };
    const kiosk = screen(worn, paired.headers);
    const office = screen(identity);
    office.socket.on('devices', (rows) => said.push(rows));
    await until(() => said.length > 0);
    kiosk.socket.emit('device', { station: 'S1', unsent: 4, oldest: 1_000, clockAhead: -60_000 });
    kiosk.socket.emit('device', { station: 'S1', unsent: 'many', oldest: null, clockAhead: 0 });
    await until(() => said.at(-1)!.length === 1);
    expect(said.at(-1)).toMatchObject([{ device: paired.device, who: 'badge-1', station: 'S1', unsent: 4, oldest: 1_000, clockAhead: -60_000, connected: true }]);
    const again = screen(worn, paired.headers);
    await until(() => again.socket.connected);
    kiosk.socket.disconnect();
    await new Promise((resolve) => setTimeout(resolve, 1_500));
    expect(house.app.actions.devices.of('P')).toMatchObject([{ device: paired.device, connected: true }]);
    again.socket.disconnect();
    await until(() => said.at(-1)?.[0]?.connected === false);
    expect(said.at(-1)).toMatchObject([{ device: paired.device, unsent: 4 }]);
  });

  it('are given to nobody who is not let in, to no page of another site, and to nobody of another plant', async () => {
    const other = wholePlant({ code: 'Q' });
    await house.app.actions.loadPlant(other, 0, BY);
    const desk = await (await house.enter()).person('badge-2', ['lead'], ['P']);
    const refused = async (auth: object, headers?: Record<string, string>): Promise<string> => {
      const { socket } = screen(auth, headers);
      return new Promise<string>((resolve) => {
        socket.on('connect_error', (error) => resolve((error as Error & { data?: { error: { code: string } } }).data?.error.code ?? 'no socket'));
        socket.on('connect', () => resolve('connected'));
      });
    };
    expect(await refused({ plant: 'P' }, {})).toBe('noIdentity');
    expect(await refused({})).toBe('noIdentity');
    expect(await refused({ plant: 7 })).toBe('noIdentity');
    expect(await refused({ plant: 'NONE' })).toBe('unknownPlant');
    expect(await refused({ plant: 'Q' })).toBe('unknownPlant');
    expect(await refused({ plant: 'P' }, { ...extraHeaders, origin: 'http://elsewhere.example' })).toBe('no socket');
    expect(await refused({ plant: 'P' }, { ...extraHeaders, origin: address })).toBe('connected');
    expect(await refused({ plant: 'P' }, desk.headers)).toBe('connected');
    expect(await refused({ plant: 'Q' }, desk.headers)).toBe('unknownPlant');
  });

  it('end for a kiosk that is revoked', async () => {
    const board = screen(identity);
    await until(() => board.snapshot !== null);
    const { admin } = await house.enter();
    const [device] = (await house.app.fastify.inject({ url: '/api/plants/P/devices', headers: admin.headers })).json<{ id: string }[]>();
    const ended = new Promise<string>((resolve) => board.socket.on('disconnect', resolve));
    expect((await house.app.fastify.inject({ method: 'POST', url: `/api/plants/P/devices/${device!.id}/revoke`, headers: admin.headers })).statusCode).toBe(204);
    expect(await ended).toBe('io server disconnect');
  });
});
