import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import pg from 'pg';
import type { AuditListed, DeviceListed, Me, PersonListed } from '../../server/contract/access.ts';
import type { FactsReply } from '../../server/contract/replies.ts';
import { type Holder, rightOfRoute, ROUTE_RIGHTS } from '../../server/core/access/rights.ts';
import { ROLES } from '../../server/core/access/roles.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import type { Entered, Entrance } from '../support/enter.ts';

/** Long enough to stand in no id or hash by chance. */
const PIN = '80317264';

let house: TestHouse;
let entrance: Entrance;
type Method = 'GET' | 'POST' | 'PUT';

beforeAll(async () => {
  house = await testHouse();
  for (const code of ['P', 'Q']) await house.app.actions.loadPlant(wholePlant({ code }), 0, BY);
  await house.app.actions.recordFacts('P', wire([register('A1')]));
  entrance = await house.enter();
});
afterAll(() => house.close());

const ask = async (method: Method, url: string, by: Pick<Entered, 'headers'> | null, payload?: unknown, more: { headers?: Record<string, string>; remoteAddress?: string } = {}) => {
  const reply = await house.app.fastify.inject({
    method, url, headers: { ...by?.headers, ...more.headers }, ...(payload === undefined ? {} : { payload: payload as object }), ...(more.remoteAddress ? { remoteAddress: more.remoteAddress } : {}),
  });
  const json = reply.headers['content-type']?.toString().startsWith('application/json') && reply.body !== '' ? reply.json<Record<string, never>>() : null;
  return { status: reply.statusCode, code: (json as { error?: { code: string } } | null)?.error?.code ?? null, json: json as never, headers: reply.headers, body: reply.body };
};
const send = async (by: Entered, ...facts: Parameters<typeof wire>[0]): Promise<(string | undefined)[]> => {
  const { json } = await ask('POST', '/api/plants/P/facts', by, { facts: wire(facts) });
  return (json as FactsReply).replies.map(({ outcome, why }) => (outcome === 'refused' ? why!.error.where : outcome));
};

describe('every route, for every role of its own and of another plant', () => {
  const routes = Object.entries(ROUTE_RIGHTS).filter(([name, right]) => Array.isArray(right) && !name.startsWith('SOCKET'));
  const address = (name: string): [Method, string] => {
    const [method, path] = name.split(' ') as [Method, string];
    return [method, path.replace(':plant', 'P').replace(':line', 'MAIN').replace(':unit', 'A1').replace(/:(person|device)/, '01a216c8-fa73-77df-b934-171a249bc5bd')];
  };
  const isRefused = (code: string | null): boolean => code === 'noRight' || code === 'unknownPlant' || code === 'noIdentity';

  it.each([...ROLES, 'kiosk'] as Holder[])('%s', async (holder) => {
    const own = holder === 'kiosk' ? await entrance.kiosk('table-kiosk', ['lead']) : await entrance.person(`table-${holder}`.toLowerCase(), [holder], ['P']);
    const other = holder === 'kiosk' ? await entrance.kiosk('table-kiosk', ['lead'], null, 'Q') : await entrance.person(`other-${holder}`.toLowerCase(), [holder], ['Q']);
    for (const [name, right] of routes) {
      const [method, path] = address(name);
      const payload = method === 'GET' ? undefined : {};
      const mine = await ask(method, path, own, payload);
      expect([name, isRefused(mine.code)]).toEqual([name, !(right as readonly Holder[]).includes(holder)]);
      expect([name, (await ask(method, path, other, payload)).code]).toEqual([name, 'unknownPlant']);
    }
  });

  it('refuses all of them to nobody, before the body is looked at', async () => {
    for (const [name] of Object.entries(ROUTE_RIGHTS).filter(([name, right]) => right !== 'anyone' && !name.startsWith('SOCKET'))) {
      const [method, path] = address(name);
      expect([name, (await ask(method, path, null, method === 'GET' ? undefined : 'not even JSON', { headers: { 'content-type': 'application/json' } })).code]).toEqual([name, 'noIdentity']);
      expect(rightOfRoute(name)).not.toBeNull();
    }
  });
});

describe('facts over the wire', () => {
  it('are judged one by one: the own device, its stations, the badge, what takes signing in', async () => {
    const kiosk = await entrance.kiosk('lead-1', ['lead'], ['S1']);
    const by = { who: 'lead-1', device: kiosk.device, told: true };
    expect(await send(kiosk, stated(1, 'arrive', { unit: 'A1', station: 'S1' }, by), stated(2, 'arrive', { unit: 'A1', station: 'S2' }, by), stated(3, 'finish', { unit: 'A1', station: 'S1' }, { ...by, who: 'nobody-1' }),
      stated(4, 'finish', { unit: 'A1', station: 'S1' }, { ...by, device: 'another' }), stated(5, 'promise', { unit: 'A1', promise: null, reason: 'r' }, by)))
      .toEqual(['recorded', 'otherStation', 'unknownBadge', 'otherDevice', 'noRole']);
    const trail = (await ask('GET', '/api/plants/P/audit', entrance.admin)).json as AuditListed[];
    expect(trail.find(({ what }) => what === 'factsRefused')).toMatchObject({ device: kiosk.device, detail: { n: 4, why: 'otherStation', kind: 'arrive' } });
  });

  it('that a kiosk stated before it was revoked still count, those after do not, and nothing else is answered it', async () => {
    const kiosk = await entrance.kiosk('lead-2', ['lead']);
    const before = stated(1, 'heads', { station: 'S1', heads: 2 }, { who: 'lead-2', device: kiosk.device, happened: Date.now() });
    const devices = (await ask('GET', '/api/plants/P/devices', entrance.admin)).json as DeviceListed[];
    const { id } = devices.find(({ code }) => code === kiosk.device)!;
    await new Promise((resolve) => setTimeout(resolve, 5));
    expect((await ask('POST', `/api/plants/P/devices/${id}/revoke`, entrance.admin)).status).toBe(204);
    expect((await ask('POST', `/api/plants/P/devices/${id}/revoke`, entrance.admin)).code).toBe('unknownDevice');
    const after = stated(1, 'heads', { station: 'S1', heads: 3 }, { who: 'lead-2', device: kiosk.device, happened: Date.now() });
    expect(await send(kiosk, before, after)).toEqual(['recorded', 'notPaired']);
    expect((await ask('GET', '/api/plants/P/snapshot', kiosk)).code).toBe('noIdentity');
    expect((await ask('GET', '/api/plants', kiosk)).code).toBe('noIdentity');
    // A repeated request is answered as the first was.
    expect(await send(kiosk, before, after)).toEqual(['repeated', 'notPaired']);
  });

  it('that void another device\'s take a supervisor who is signed in', async () => {
    const [one, two] = [await entrance.kiosk('lead-3', ['lead']), await entrance.kiosk('lead-3')];
    const supervisor = await entrance.person('super-1', ['supervisor'], ['P']);
    const scan = stated(1, 'heads', { station: 'S1', heads: 2 }, { who: 'lead-3', device: one.device, told: true });
    const undo = (by: Entered, who: string) => stated(2, 'void', { fact: scan.id, reason: 'mistake' }, { who, device: by.device, told: true });
    expect(await send(one, scan)).toEqual(['recorded']);
    expect(await send(two, undo(two, 'lead-3'))).toEqual(['voidOfOthers']);
    expect(await send(one, undo(one, 'lead-3'))).toEqual(['recorded']);
    expect(await send(supervisor, undo(supervisor, 'super-1'))).toEqual(['recorded']);
  });
});

describe('signing in', () => {
  const tries = (login: string, password: string, remoteAddress: string, by: Entered | null = null) => ask('POST', '/api/sign-in', by, { login, password, device: `tries-${remoteAddress}` }, { remoteAddress });
  const PASSWORD = 'a long phrase for tests';

  it('slows down who fails for a name from an address, and nobody else', async () => {
    const owner = await entrance.person('owner-1', ['supervisor'], ['P']);
    for (let n = 0; n < 3; n++) expect((await tries('owner-1', 'wrong', '10.0.0.1')).code).toBe('signInRefused');
    expect((await tries('owner-1', PASSWORD, '10.0.0.1')).code).toBe('signInWaits');
    expect((await tries('owner-1', PASSWORD, '10.0.0.2')).status).toBe(200);
    // From the address of the one who fails, at a desk where the owner was signed in before.
    expect((await tries('owner-1', PASSWORD, '10.0.0.1', owner)).status).toBe(200);
    expect((await tries('nobody-there', PASSWORD, '10.0.0.1')).code).toBe('signInRefused');
  });

  it('refuses a name that no database can keep as text', async () => {
    for (const login of ['a\u0000b', '\ud800', '\udfffx']) expect([login, (await tries(login, PASSWORD, '10.0.0.7')).code]).toEqual([login, 'malformedBody']);
  });

  it('ends by signing out, and a token alone is worth nothing at another device', async () => {
    const [one, two] = [await entrance.person('owner-2', ['lead'], ['P']), await entrance.person('owner-3', ['lead'], ['P'])];
    const part = (by: Entered, name: string): string => by.headers.cookie.split('; ').find((cookie) => cookie.startsWith(name))!;
    const stolen = { headers: { cookie: `${part(one, 'stationhand-session')}; ${part(two, 'stationhand-device')}` } };
    expect((await ask('GET', '/api/plants/P/snapshot', stolen)).code).toBe('noIdentity');
    expect((await ask('GET', '/api/plants/P/snapshot', one)).status).toBe(200);
    expect((await ask('POST', '/api/sign-out', one)).status).toBe(204);
    expect((await ask('GET', '/api/plants/P/snapshot', one)).code).toBe('noIdentity');
  });

  it('at a kiosk by badge and PIN gives what takes more than a badge, for five minutes', async () => {
    const kiosk = await entrance.kiosk('quality-1', ['quality']);
    const people = (await ask('GET', '/api/plants/P/people', entrance.admin)).json as PersonListed[];
    const { id } = people.find(({ badge }) => badge === 'quality-1')!;
    const said = { name: 'Quality 01', badge: 'quality-1', login: null, language: 'en', roles: ['quality'], pin: PIN };
    expect((await ask('PUT', `/api/plants/P/people/${id}`, entrance.admin, said)).status).toBe(204);
    const fact = stated(1, 'bindVin', { unit: 'A1', vin: '1ZZTB2427T0000001' }, { who: 'quality-1', device: kiosk.device, told: true });
    expect(await send(kiosk, fact)).toEqual(['notSignedIn']);
    expect((await ask('POST', '/api/plants/P/pin', kiosk, { badge: 'quality-1', pin: '0000' })).code).toBe('signInRefused');
    const reply = await ask('POST', '/api/plants/P/pin', kiosk, { badge: 'quality-1', pin: PIN });
    const cookie = String(reply.headers['set-cookie']);
    expect(cookie).toMatch(/^stationhand-session=\S+; Path=\/; HttpOnly; SameSite=Strict$/);
    const signedIn = { ...kiosk, headers: { cookie: `${kiosk.headers.cookie}; ${cookie.split(';')[0]}` } };
    expect(await send(signedIn, fact)).not.toContain('notSignedIn');
    expect(((await ask('GET', '/api/me', signedIn)).json as Me).person).toMatchObject({ badge: 'quality-1', how: 'pin' });
  });

  it('by a PIN that comes with a fact lets that fact in and nobody else, is tried as often as at signing in, and is kept nowhere', async () => {
    const kiosk = await entrance.kiosk('super-pin', ['supervisor']);
    const people = (await ask('GET', '/api/plants/P/people', entrance.admin)).json as PersonListed[];
    const { id } = people.find(({ badge }) => badge === 'super-pin')!;
    expect((await ask('PUT', `/api/plants/P/people/${id}`, entrance.admin, { name: 'Supervisor 09', badge: 'super-pin', login: null, language: 'en', roles: ['supervisor'], pin: PIN })).status).toBe(204);
    const fact = (who = 'super-pin', device = kiosk.device) => stated(1, 'overrideGate', { unit: 'A1', breach: 'none', reason: 'r' }, { who, device, told: true });
    const withPin = async (by: Entered, pin: unknown, ...facts: ReturnType<typeof fact>[]) => {
      const { json, code } = await ask('POST', '/api/plants/P/facts', by, { facts: wire(facts), pins: Object.fromEntries(facts.map((one) => [one.id, pin])) });
      return code ?? (json as FactsReply).replies.map(({ outcome, why }) => (outcome === 'refused' ? why!.error.where : outcome));
    };
    const right = fact();
    expect(await withPin(kiosk, PIN, right)).toEqual(['flagged']);
    expect(await withPin(kiosk, PIN, right)).toEqual(['repeated']);
    expect(await send(kiosk, fact())).toEqual(['notSignedIn']);
    expect((await ask('GET', '/api/me', kiosk)).json).toMatchObject({ person: null });
    expect(await withPin(kiosk, PIN, fact('nobody-9'))).toEqual(['unknownBadge']);
    expect(await withPin(kiosk, PIN, fact('super-pin', 'another-device'))).toEqual(['otherDevice']);
    // A desk is no kiosk: there the PIN says nothing.
    const desk = await entrance.person('desk-pin', ['supervisor'], ['P']);
    expect(await withPin(desk, PIN, fact('super-pin', desk.device))).toEqual(['notPaired']);
    for (const pins of [7, [], { a: 1 }, Object.fromEntries([1, 2, 3, 4, 5, 6].map((n) => [n, PIN]))]) expect((await ask('POST', '/api/plants/P/facts', kiosk, { facts: [], pins })).code).toBe('malformedBody');
    for (let n = 0; n < 3; n++) expect(await withPin(kiosk, '0000', fact())).toEqual(['wrongPin']);
    expect(await withPin(kiosk, PIN, fact())).toBe('signInWaits');
    expect(await send(kiosk, stated(1, 'heads', { station: 'S1', heads: 2 }, { who: 'super-pin', device: kiosk.device, told: true }))).toEqual(['recorded']);
  });

  it('refuses links and codes that were used, and weak passwords; secrets are neither in the trail nor in the database', async () => {
    const token = (await house.app.actions.access.firstLink()) ?? 'none: there is an administrator';
    expect((await ask('POST', '/api/links', null, { token, password: PASSWORD, login: 'second' })).code).toBe('linkNotGood');
    expect((await ask('POST', '/api/links', null, { token, password: 'short' })).code).toBe('weakPassword');
    expect((await ask('POST', '/api/links', null, { token, password: 'x'.repeat(129) })).code).toBe('weakPassword');
    const { code } = (await ask('POST', '/api/plants/P/devices/codes', entrance.admin, { name: 'K', stations: null })).json as { code: string };
    const pair = () => ask('POST', '/api/pair', null, { code: `${code.slice(0, 4)} ${code.slice(4).toLowerCase()}`, device: 'fresh-kiosk' });
    expect([(await pair()).status, (await pair()).code]).toEqual([200, 'codeNotGood']);
    expect((await ask('POST', '/api/pair-demo', null, { device: 'fresh-kiosk' })).code).toBe('noRight');
    const client = new pg.Client({ connectionString: house.url });
    await client.connect();
    const tables = ['people', 'devices', 'sessions', 'pairing_codes', 'one_time_links', 'audit_trail', 'sign_in_failures'];
    const all = (await Promise.all(tables.map((table) => client.query(`select t::text as row from ${table} t`)))).flatMap(({ rows }) => rows.map(({ row }: { row: string }) => row)).join('\n');
    await client.end();
    expect(all).toContain('$argon2id$v=19$m=19456,t=2,p=1$');
    for (const secret of [PASSWORD, code, PIN, ...entrance.admin.headers.cookie.split('; ').map((cookie) => cookie.split('=')[1]!)]) expect(all).not.toContain(secret);
  });
});

describe('people', () => {
  it('are changed only by an administrator of every plant that they have a role in', async () => {
    const admin = await entrance.person('admin-p', ['administrator'], ['P']);
    await entrance.person('both-1', ['lead'], ['P', 'Q']);
    const people = (await ask('GET', '/api/plants/P/people', admin)).json as PersonListed[];
    expect(people.find(({ badge }) => badge === 'admin')).toBeUndefined();
    const { id } = people.find(({ badge }) => badge === 'both-1')!;
    expect((await ask('POST', `/api/plants/P/people/${id}/link`, admin)).code).toBe('noRight');
    const said = { name: 'New', badge: 'both-1', login: null, language: 'es', roles: ['worker'] };
    expect((await ask('PUT', `/api/plants/P/people/${id}`, admin, said)).code).toBe('noRight');
    expect((await ask('POST', '/api/plants/P/people', admin, { ...said, login: 'newcomer' })).code).toBe('personTaken');
    expect((await ask('POST', '/api/plants/P/people', admin, { ...said, roles: ['king'] })).code).toBe('malformedBody');
  });

  it('who left are signed out, and their badge counts no more', async () => {
    const one = await entrance.person('leaver', ['supervisor'], ['P']);
    const people = (await ask('GET', '/api/plants/P/people', entrance.admin)).json as PersonListed[];
    const { id } = people.find(({ badge }) => badge === 'leaver')!;
    const before = stated(1, 'note', { line: 'MAIN', text: 'x' }, { who: 'leaver', device: one.device, happened: Date.now() });
    await new Promise((resolve) => setTimeout(resolve, 5));
    expect((await ask('PUT', `/api/plants/P/people/${id}`, entrance.admin, { name: 'Leaver', badge: 'leaver', login: 'leaver', language: 'en', roles: [], left: true })).status).toBe(204);
    expect((await ask('GET', '/api/plants/P/snapshot', one)).code).toBe('noIdentity');
    expect((await ask('POST', '/api/sign-in', null, { login: 'leaver', password: 'a long phrase for tests', device: 'd' })).code).toBe('signInRefused');
    const kiosk = await entrance.kiosk('lead-9', ['lead']);
    expect(await send(kiosk, { ...before, device: kiosk.device })).toEqual(['recorded']);
    expect(await send(kiosk, stated(1, 'note', { line: 'MAIN', text: 'y' }, { who: 'leaver', device: kiosk.device, happened: Date.now() }))).toEqual(['unknownBadge']);
  });
});

describe('the door', () => {
  it('gives every page and answer a strict policy, and cookies that no script reads', async () => {
    for (const url of ['/', '/api/plants', '/health']) {
      const { headers } = await ask('GET', url, entrance.admin);
      expect(String(headers['content-security-policy'])).toMatch(/default-src 'none';script-src 'self' 'wasm-unsafe-eval';.*frame-ancestors 'none';object-src 'none'/);
      expect(headers).toMatchObject({ 'x-content-type-options': 'nosniff', 'x-frame-options': 'DENY', 'referrer-policy': 'no-referrer' });
    }
    expect((await ask('GET', '/api/plants', entrance.admin)).headers['cache-control']).toBe('no-store');
    const reply = await ask('POST', '/api/sign-in', null, { login: 'admin', password: 'a long phrase for tests', device: 'door-test' });
    for (const cookie of [reply.headers['set-cookie']].flat()) expect(cookie).toMatch(/; Path=\/; HttpOnly; SameSite=Strict$/);
  });

  it('refuses what a page of another site sends with this browser\'s cookies', async () => {
    const post = (headers: { origin?: string; 'sec-fetch-site'?: string }) => ask('POST', '/api/sign-out', null, undefined, { headers: { host: 'plant.local', ...headers } });
    for (const origin of ['http://elsewhere.example', 'null', 'http://plant.local.elsewhere.example', 'http://plant.local:81']) expect([origin, (await post({ origin })).code]).toEqual([origin, 'wrongOrigin']);
    expect((await post({ 'sec-fetch-site': 'cross-site' })).code).toBe('wrongOrigin');
    expect((await post({ 'sec-fetch-site': 'same-site' })).code).toBe('wrongOrigin');
    for (const headers of [{}, { origin: 'http://plant.local' }, { 'sec-fetch-site': 'same-origin' }]) expect((await post(headers)).status).toBe(204);
  });

  it('gives the page and its files to a whole plant behind one address, but does not answer it without end', async () => {
    const get = async (url: string) => (await ask('GET', url, null, undefined, { remoteAddress: '10.9.9.7' })).status;
    for (let n = 0; n < 650; n++) expect(await get('/')).toBe(200);
    const told = new Set<number>();
    for (let n = 0; n < 620; n++) told.add(await get('/api/me'));
    expect([...told]).toEqual([200, 429]);
    expect(await get('/')).toBe(200);
  });

  it('lets an address try secrets so many times a minute', async () => {
    const codes: (string | null)[] = [];
    for (let n = 0; n < 35; n++) codes.push((await ask('POST', '/api/pair', null, { code: 'NONE', device: 'd' }, { remoteAddress: '10.9.9.9' })).code);
    expect(codes.filter((code) => code === 'tooManyRequests')).toHaveLength(5);
    expect((await ask('POST', '/api/pair', null, { code: 'NONE', device: 'd' }, { remoteAddress: '10.9.9.8' })).code).toBe('codeNotGood');
  });
});
