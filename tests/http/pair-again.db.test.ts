import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AuditListed, DeviceListed } from '../../server/contract/access.ts';
import type { FactsReply } from '../../server/contract/replies.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import type { Entered, Entrance } from '../support/enter.ts';

const PASSWORD = 'a long phrase for tests';
let house: TestHouse;
let entrance: Entrance;
let ahead = 0;
beforeAll(async () => {
  house = await testHouse(0, { clock: () => Date.now() + ahead });
  for (const code of ['P', 'Q']) await house.app.actions.loadPlant(wholePlant({ code }), 0, BY);
  await house.app.actions.recordFacts('P', wire([register('A1')]));
  entrance = await house.enter();
});
afterAll(() => house.close());

type By = Pick<Entered, 'headers'> | null;
const post = async (url: string, by: By, payload?: object) => {
  const reply = await house.app.fastify.inject({ method: 'POST', url, headers: { ...by?.headers }, ...(payload ? { payload } : {}) });
  const json = reply.body === '' ? null : reply.json<Record<string, never>>();
  const cookie = [reply.headers['set-cookie'] ?? []].flat().map((one) => one.split(';')[0]!).join('; ');
  return { status: reply.statusCode, json, code: (json as { error?: { code: string } } | null)?.error?.code ?? null, cookie };
};
const get = async <T>(url: string): Promise<T> => (await house.app.fastify.inject({ url, headers: entrance.admin.headers })).json<T>();
const deviceOf = async (code: string): Promise<DeviceListed> => (await get<DeviceListed[]>('/api/plants/P/devices')).find((device) => device.code === code)!;
const codeFor = async (device: string): Promise<string> => (await post(`/api/plants/P/devices/${(await deviceOf(device)).id}/code`, entrance.admin)).json!['code'] as unknown as string;
const newCode = async (): Promise<string> => (await post('/api/plants/P/devices/codes', entrance.admin, { name: 'New', stations: null })).json!['code'] as unknown as string;
const outcomes = async (by: By, ...facts: Parameters<typeof wire>[0]): Promise<string[]> => {
  const { json, code } = await post('/api/plants/P/facts', by, { facts: wire(facts) });
  return code ? [code] : (json as unknown as FactsReply).replies.map(({ outcome, why }) => (outcome === 'refused' ? why!.error.where : outcome));
};
const scan = ({ device, badge }: Entered, heads = 2) => stated(1, 'heads', { station: 'S1', heads }, { who: badge, device, happened: Date.now() + ahead });

describe('a kiosk that lost its token', () => {
  it('is paired again by a code for it alone, keeps its code and its stations, and its old token is worth nothing', async () => {
    const kiosk = await entrance.kiosk('lead-1', ['lead'], ['S1']);
    const waiting = scan(kiosk);
    const code = await codeFor(kiosk.device);
    const paired = await post('/api/pair', null, { code, device: kiosk.device, waiting: true });
    expect([paired.status, paired.json]).toEqual([200, { code: kiosk.device, plant: 'P' }]);
    const again = { headers: { cookie: paired.cookie } };
    expect(await outcomes(again, waiting)).toEqual(['recorded']);
    expect(await outcomes(again, waiting)).toEqual(['repeated']);
    expect(await outcomes(kiosk, scan(kiosk, 3))).toEqual(['notPaired']);
    expect((await house.app.fastify.inject({ url: '/api/plants/P/snapshot', headers: kiosk.headers })).statusCode).toBe(401);
    expect((await house.app.fastify.inject({ url: '/api/plants/P/snapshot', headers: again.headers })).statusCode).toBe(200);
    expect(await outcomes(again, stated(1, 'heads', { station: 'S2', heads: 1 }, { who: 'lead-1', device: kiosk.device, happened: Date.now() + ahead }))).toEqual(['otherStation']);
    expect((await post('/api/pair', null, { code, device: kiosk.device })).code).toBe('codeNotGood');
    const [made] = (await get<AuditListed[]>('/api/plants/P/audit')).filter(({ what }) => what === 'pairingCodeMade');
    expect(made!.detail).toMatchObject({ name: 'Kiosk', again: kiosk.device });
  });

  it('is so too after it was revoked: what it stated until then counts, what it stated between does not', async () => {
    const kiosk = await entrance.kiosk('lead-2', ['lead']);
    const before = scan(kiosk);
    await new Promise((resolve) => setTimeout(resolve, 5));
    const { id } = await deviceOf(kiosk.device);
    expect((await post(`/api/plants/P/devices/${id}/revoke`, entrance.admin)).status).toBe(204);
    const between = { ...scan(kiosk, 3), happened: Date.now() + ahead + 10 };
    ahead += 10 * 60_000;
    const paired = await post('/api/pair', null, { code: await codeFor(kiosk.device), device: kiosk.device });
    expect(await outcomes({ headers: { cookie: paired.cookie } }, before, between, scan(kiosk, 4))).toEqual(['recorded', 'notPaired', 'recorded']);
  });

  it('is not given another code while facts wait on it, and that code stays good', async () => {
    const kiosk = await entrance.kiosk('lead-3', ['lead']);
    const code = await newCode();
    expect((await post('/api/pair', null, { code, device: kiosk.device, waiting: true })).code).toBe('pairAgain');
    const another = await post('/api/pair', null, { code, device: kiosk.device });
    expect(another.status).toBe(200);
    expect(another.json!['code']).not.toBe(kiosk.device);
    // With the token, nothing was lost: any code will do.
    const own = await post('/api/pair', kiosk, { code: await newCode(), device: kiosk.device, waiting: true });
    expect(own.json!['code']).toBe(kiosk.device);
  });
});

describe('nobody speaks as another device', () => {
  it('by what is on its disk, its id and its facts, without a code that names it', async () => {
    const kiosk = await entrance.kiosk('lead-4', ['lead']);
    const stolen = scan(kiosk);
    const thief = await entrance.kiosk('lead-4');
    expect(await outcomes(null, stolen)).toEqual(['noIdentity']);
    expect(await outcomes(thief, stolen)).toEqual(['otherDevice']);
    const paired = await post('/api/pair', null, { code: await newCode(), device: kiosk.device });
    expect(await outcomes({ headers: { cookie: paired.cookie } }, stolen)).toEqual(['otherDevice']);
    expect(await outcomes(kiosk, stolen)).toEqual(['recorded']);
  });

  it('by a code that names another than it is, which stays good for that one', async () => {
    const [one, two] = [await entrance.kiosk('lead-5', ['lead']), await entrance.kiosk('lead-5')];
    const code = await codeFor(one.device);
    const refused = await post('/api/pair', two, { code, device: two.device });
    expect([refused.code, refused.cookie]).toEqual(['codeNotGood', '']);
    expect((await post('/api/pair', null, { code, device: one.device })).json).toMatchObject({ code: one.device });
  });

  it('by an administrator or supervisor of another plant', async () => {
    const kiosk = await entrance.kiosk('lead-6', ['lead']);
    const { id } = await deviceOf(kiosk.device);
    const other = await entrance.person('super-q', ['supervisor', 'administrator'], ['Q']);
    expect((await post(`/api/plants/P/devices/${id}/code`, other)).code).toBe('unknownPlant');
    expect((await post(`/api/plants/Q/devices/${id}/code`, other)).code).toBe('unknownDevice');
    expect((await post('/api/plants/P/devices/none/code', entrance.admin)).code).toBe('unknownDevice');
  });
});

describe('a desk that lost its token', () => {
  const signIn = (login: string, device: string, by: By = null) => post('/api/sign-in', by, { login, password: PASSWORD, device });

  it('keeps its code when who was signed in there signs in again, and what waits on it is sent', async () => {
    const desk = await entrance.person('office-1', ['productionControl'], ['P']);
    const waiting = stated(1, 'promise', { unit: 'A1', promise: null, reason: 'r' }, { who: 'office-1', device: desk.device, happened: Date.now() + ahead });
    const again = await signIn('office-1', desk.device);
    expect(again.json!['code']).toBe(desk.device);
    expect(await outcomes({ headers: { cookie: again.cookie } }, waiting)).toEqual(['recorded']);
  });

  it('has another for anybody else, and so has whoever names a kiosk', async () => {
    const desk = await entrance.person('office-2', ['productionControl'], ['P']);
    await entrance.person('office-3', ['productionControl'], ['P']);
    expect((await signIn('office-3', desk.device)).json!['code']).not.toBe(desk.device);
    const kiosk = await entrance.kiosk('lead-7', ['lead']);
    expect((await signIn('office-3', kiosk.device, kiosk)).json!['code']).toBe(kiosk.device);
    expect((await signIn('office-3', kiosk.device)).json!['code']).not.toBe(kiosk.device);
    expect((await house.app.fastify.inject({ url: '/api/plants/P/snapshot', headers: kiosk.headers })).statusCode).toBe(200);
  });
});
