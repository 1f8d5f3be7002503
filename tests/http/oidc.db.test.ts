import { createServer, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import pg from 'pg';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { AuditListed, Me, PersonListed } from '../../server/contract/access.ts';
import { TRIES_A_MINUTE } from '../../server/http/rate-limits.ts';
import { BY, testHouse, type TestHouse, wholePlant } from '../actions/house.ts';
import type { Entered, Entrance } from '../support/enter.ts';
import { openidProvider, type TestProvider } from '../support/openid-provider.ts';

const PUBLIC = 'http://line.plant.example';
const OURS = { id: 'stationhand', secret: 'a secret of the tests, long enough', redirect: `${PUBLIC}/api/oidc/callback` };
const OTHER = { id: 'payroll', secret: 'another secret of the tests', redirect: 'http://payroll.plant.example/back' };
const ACCOUNTS = {
  worker: { preferred_username: 'Office-1' }, mail: { email: 'Planner@Plant.Example', email_verified: true }, unverified: { email: 'planner@plant.example', email_verified: false },
  odd: { preferred_username: 'office-1\u0000' }, long: { preferred_username: 'o'.repeat(5_000), email: 'planner@plant.example', email_verified: true }, stranger: { preferred_username: 'stranger' }, leaver: { preferred_username: 'leaver' }, nobody: {},
};

let house: TestHouse;
let entrance: Entrance;
let provider: TestProvider;
const logged: string[] = [];

beforeAll(async () => {
  provider = await openidProvider([OURS, OTHER], ACCOUNTS);
  house = await testHouse(0, { log: (line) => void logged.push(line), provider: { issuer: provider.issuer, clientId: OURS.id, clientSecret: OURS.secret, name: 'Plant ID', publicUrl: PUBLIC } });
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  entrance = await house.enter();
  for (const login of ['office-1', 'planner@plant.example', 'leaver']) await entrance.person(login, ['supervisor'], ['P']);
  const people = JSON.parse((await inject('GET', '/api/plants/P/people', entrance.admin)).body) as PersonListed[];
  const { id, name, badge, language } = people.find(({ login }) => login === 'leaver')!;
  await inject('PUT', `/api/plants/P/people/${id}`, entrance.admin, { name, login: 'leaver', badge, language, roles: [], left: true });
});
afterAll(async () => {
  await house?.close();
  await provider?.close();
});
beforeEach(() => {
  logged.length = 0;
});

let addresses = 0;
const inject = async (method: 'GET' | 'POST' | 'PUT', url: string, by: Pick<Entered, 'headers'> | null, payload?: object, { origin, from = `10.1.0.${++addresses}` }: { origin?: string; from?: string } = {}) => {
  const reply = await house.app.fastify.inject({ method, url, headers: { ...by?.headers, ...(origin ? { origin, host: new URL(origin).host } : {}) }, ...(payload ? { payload } : {}), remoteAddress: from });
  const given = reply.cookies as { name: string; value: string; httpOnly?: boolean; sameSite?: string; maxAge?: number; path?: string }[];
  return { status: reply.statusCode, body: reply.body, to: reply.headers.location, given, cookie: given.map(({ name, value }) => `${name}=${value}`).join('; ') };
};
const begin = async (by: Entered | null = null) => {
  const reply = await inject('POST', '/api/oidc/begin', by, { device: 'browser-1' }, { origin: PUBLIC });
  expect([reply.status, reply.body]).toEqual([200, expect.stringContaining(provider.issuer)]);
  return { address: (JSON.parse(reply.body) as { address: string }).address, reply, token: { headers: { cookie: reply.cookie } } };
};
const comeBack = (to: URL, token: Pick<Entered, 'headers'> | null) => inject('GET', to.pathname + to.search, token);
const through = async (account: string | null, by: Entered | null = null, change = (address: string): string => address) => {
  provider.signsIn(account);
  const { address, token } = await begin(by);
  const to = await provider.walk(change(address));
  return { to, token, address, ended: await comeBack(to, token) };
};
const trail = async (): Promise<AuditListed[]> => JSON.parse((await inject('GET', '/api/plants/P/audit', entrance.admin)).body) as AuditListed[];
const meOf = async (cookie: string): Promise<Me> => JSON.parse((await inject('GET', '/api/me', { headers: { cookie } })).body) as Me;
const refused = (outcome: string) => ({ status: 303, to: `/sign-in?provider=${outcome}`, cookie: 'stationhand-provider=' });

describe('signing in by the OpenID provider', () => {
  it('signs in whose login the provider names, in any case of letters, and says so in the audit trail', async () => {
    const { ended, address } = await through('worker');
    expect(ended).toMatchObject({ status: 303, to: '/sign-in?provider=signedIn' });
    const asked = new URL(address).searchParams;
    expect(Object.fromEntries(asked)).toMatchObject({ response_type: 'code', code_challenge_method: 'S256', redirect_uri: OURS.redirect, client_id: OURS.id });
    for (const secret of ['state', 'nonce', 'code_challenge']) expect(asked.get(secret)!.length).toBeGreaterThan(40);
    const me = await meOf(ended.cookie);
    expect(me).toMatchObject({ person: { badge: 'office-1', how: 'provider' }, plants: { P: ['supervisor'] }, provider: 'Plant ID', device: { code: 'browser-1', plant: null } });
    expect((await trail())[0]).toMatchObject({ what: 'signedIn', who: 'office-1', detail: { how: 'provider', device: 'browser-1' } });
    expect((await inject('GET', '/api/plants/P/devices', { headers: { cookie: ended.cookie } })).status).toBe(200);
  });

  it('takes an address that the provider verified, and none that it did not', async () => {
    expect(await meOf((await through('mail')).ended.cookie)).toMatchObject({ person: { badge: 'planner@plant.example' } });
    expect((await through('unverified')).ended).toMatchObject(refused('noLogin'));
    for (const account of ['nobody', 'odd', 'long']) expect((await through(account)).ended).toMatchObject(refused('noLogin'));
    expect(logged).toEqual([]);
  });

  it('tells who is unknown here, who left and who cancelled, and signs nobody in', async () => {
    expect((await through('stranger')).ended).toMatchObject(refused('unknownPerson'));
    expect((await trail())[0]).toMatchObject({ what: 'signInRefused', detail: { how: 'provider', why: 'unknownPerson', said: 'stranger' } });
    expect((await through('leaver')).ended).toMatchObject(refused('left'));
    expect((await through(null)).ended).toMatchObject(refused('cancelled'));
    expect((await trail()).slice(0, 2).map(({ detail }) => detail['why'])).toEqual(['cancelled', 'left']);
  });

  it('keeps a kiosk the kiosk it is, and ends who was signed in there, though its strict cookies do not come back along', async () => {
    const kiosk = await entrance.kiosk('lead-1');
    const { ended } = await through('worker', kiosk);
    expect(ended.given.map(({ name }) => name).toSorted()).toEqual(['stationhand-provider', 'stationhand-session']);
    const session = `stationhand-session=${ended.given.find(({ name }) => name === 'stationhand-session')!.value}`;
    const both = { ...kiosk, headers: { cookie: `${kiosk.headers.cookie}; ${session}` } };
    expect(await meOf(both.headers.cookie)).toMatchObject({ device: { code: kiosk.device, plant: 'P' }, person: { badge: 'office-1' } });
    await through('mail', both);
    expect((await meOf(both.headers.cookie)).person).toBeNull();
    // The session's token alone is worth nothing elsewhere.
    expect((await meOf(session)).person).toBeNull();
  });

  it('gives the browser a cookie that no script reads, for ten minutes and these routes alone', async () => {
    expect((await begin()).reply.given).toEqual([expect.objectContaining({ name: 'stationhand-provider', httpOnly: true, sameSite: 'Lax', maxAge: 600, path: '/api/oidc' })]);
  });
});

describe('what comes back is refused', () => {
  it('with another state, with none, and in another browser than it began in', async () => {
    provider.signsIn('worker');
    for (const state of ['another', null]) {
      const { address, token } = await begin();
      const to = await provider.walk(address);
      if (state === null) to.searchParams.delete('state');
      else to.searchParams.set('state', state);
      expect(await comeBack(to, token)).toMatchObject(refused('notVerified'));
    }
    const [mine, theirs] = [await begin(), await begin()];
    const to = await provider.walk(mine.address);
    expect(await comeBack(to, null)).toMatchObject(refused('expired'));
    expect(await comeBack(to, theirs.token)).toMatchObject(refused('notVerified'));
    expect((await trail())[0]).toMatchObject({ what: 'signInRefused', detail: { how: 'provider', why: 'notVerified' } });
  });

  it('when it comes a second time, and when its code was used before', async () => {
    const { to, token, ended } = await through('worker');
    expect(ended.to).toBe('/sign-in?provider=signedIn');
    expect(await comeBack(to, token)).toMatchObject(refused('expired'));
    const again = await begin();
    const replayed = await provider.walk(again.address);
    replayed.searchParams.set('code', to.searchParams.get('code')!);
    expect(await comeBack(replayed, again.token)).toMatchObject(refused('notVerified'));
    expect(logged.at(-1)).toContain('invalid_grant');
  });

  it('after ten minutes', async () => {
    provider.signsIn('worker');
    const { address, token } = await begin();
    const to = await provider.walk(address);
    const client = new pg.Client(house.url);
    await client.connect();
    await client.query("update provider_sign_ins set expires_at = expires_at - interval '601 seconds'");
    await client.end();
    expect(await comeBack(to, token)).toMatchObject(refused('expired'));
  });

  it('with another nonce, or a challenge that the verifier does not fit', async () => {
    const put = (name: string) => (address: string): string => {
      const changed = new URL(address);
      changed.searchParams.set(name, 'E9Melhoa2OwvFrEMTJguCHaoeK1t8URWbuGJSstw-cM');
      return changed.href;
    };
    expect((await through('worker', null, put('nonce'))).ended).toMatchObject(refused('notVerified'));
    expect(logged.at(-1)).toMatch(/nonce/i);
    expect((await through('worker', null, put('code_challenge'))).ended).toMatchObject(refused('notVerified'));
  });

  it('with a token that the provider gave another client, or that was changed', async () => {
    provider.signsIn('worker');
    const mine = await begin();
    const back = await provider.walk(mine.address);
    const theirs = new URL(mine.address);
    theirs.searchParams.set('client_id', OTHER.id);
    theirs.searchParams.set('redirect_uri', OTHER.redirect);
    const verifier = 'dBjftJeZ4CVP-mB92K27uhbUJU1p1r_wW1gFWFOEjXk';
    // The pair of RFC 7636, appendix B.
    theirs.searchParams.set('code_challenge', 'E9Melhoa2OwvFrEMTJguCHaoeK1t8URWbuGJSstw-cM');
    const code = (await provider.walk(theirs.href)).searchParams.get('code')!;
    const body = new URLSearchParams({ grant_type: 'authorization_code', code, redirect_uri: OTHER.redirect, code_verifier: verifier });
    const authorization = `Basic ${Buffer.from(`${OTHER.id}:${encodeURIComponent(OTHER.secret).replaceAll('%20', '+')}`).toString('base64')}`;
    const reply = await fetch(`${provider.issuer}/token`, { method: 'POST', body, headers: { authorization } });
    const { id_token: idToken } = (await reply.json()) as { id_token: string };
    provider.swapIdToken(idToken);
    expect(await comeBack(back, mine.token)).toMatchObject(refused('notVerified'));
    expect(logged.at(-1)).toMatch(/aud/);

    const next = await begin();
    const nextBack = await provider.walk(next.address);
    const [head, payload, signature] = idToken.split('.') as [string, string, string];
    const claims = { ...(JSON.parse(Buffer.from(payload, 'base64url').toString()) as object), aud: OURS.id, nonce: new URL(next.address).searchParams.get('nonce') };
    provider.swapIdToken([head, Buffer.from(JSON.stringify(claims)).toString('base64url'), signature].join('.'));
    expect(await comeBack(nextBack, next.token)).toMatchObject(refused('notVerified'));
    expect(logged.at(-1)).toMatch(/signature/);
  });

  it('and the other client\'s code is none of ours', async () => {
    provider.signsIn('worker');
    const { address, token } = await begin();
    const to = await provider.walk(address);
    const theirs = new URL(address);
    theirs.searchParams.set('client_id', OTHER.id);
    theirs.searchParams.set('redirect_uri', OTHER.redirect);
    to.searchParams.set('code', (await provider.walk(theirs.href)).searchParams.get('code')!);
    expect(await comeBack(to, token)).toMatchObject(refused('notVerified'));
  });
});

describe('the routes', () => {
  it('are begun by the program\'s own page alone, at its public address', async () => {
    const elsewhere = (origin: string) => inject('POST', '/api/oidc/begin', null, { device: 'browser-1' }, { origin });
    expect(JSON.parse((await elsewhere('http://localhost:8080')).body)).toMatchObject({ error: { code: 'wrongOrigin', whatToDo: `Open ${PUBLIC}/ and sign in there.` } });
    const foreign = await house.app.fastify.inject({ method: 'POST', url: '/api/oidc/begin', payload: { device: 'browser-1' }, headers: { origin: 'http://evil.example', host: 'line.plant.example' } });
    expect(foreign.statusCode).toBe(403);
  });

  it('are counted as tries, which the screen says too', async () => {
    const from = '10.2.0.1';
    const ends: string[] = [];
    for (let n = 0; n < TRIES_A_MINUTE + 5; n++) ends.push((await inject('GET', '/api/oidc/callback?code=a&state=b', null, undefined, { from })).to ?? '');
    expect(ends).toEqual(ends.map((_, n) => `/sign-in?provider=${n < TRIES_A_MINUTE ? 'expired' : 'tooMany'}`));
  });

  it('answer anything at all with a way back and no failure of the program', async () => {
    for (const query of ['', '?', '?error=server_error', '?code=%00', '?code=a&code=b&state=', `?state=${'x'.repeat(4_000)}`]) {
      const { token } = await begin();
      const reply = await inject('GET', `/api/oidc/callback${query}`, token);
      expect([query, reply.status, reply.to]).toEqual([query, 303, expect.stringMatching(/provider=(notVerified|providerAway)$/)]);
    }
  });
});

describe('a provider that is away or set up otherwise', () => {
  const starting = async (settings: Partial<{ issuer: string; clientSecret: string }>, act: (begun: () => Promise<{ status: number; body: string; cookie: string }>) => Promise<void>): Promise<void> => {
    const own = house;
    house = await testHouse(0, { log: (line) => void logged.push(line), provider: { issuer: provider.issuer, clientId: OURS.id, clientSecret: OURS.secret, name: 'Plant ID', publicUrl: PUBLIC, ...settings } });
    try {
      await act(() => inject('POST', '/api/oidc/begin', null, { device: 'browser-1' }, { origin: PUBLIC }));
    } finally {
      await house.close();
      house = own;
    }
  };

  it('does not keep the program from starting, is told on the screen and in one line of the log, and is asked again', async () => {
    const gone = await openidProvider([OURS], ACCOUNTS);
    await gone.close();
    await starting({ issuer: gone.issuer }, async (begun) => {
      const reply = await begun();
      expect([reply.status, JSON.parse(reply.body)]).toEqual([503, { error: expect.objectContaining({ code: 'providerAway' }) }]);
      expect(logged).toEqual([expect.stringMatching(/^sign-in by Plant ID: providerAway: .*ECONNREFUSED/)]);
      const back = await openidProvider([OURS], ACCOUNTS, Number(new URL(gone.issuer).port));
      back.signsIn('stranger');
      const again = await begun();
      expect(again.status).toBe(200);
      const to = await back.walk((JSON.parse(again.body) as { address: string }).address);
      await back.close();
      expect(await comeBack(to, { headers: { cookie: again.cookie } })).toMatchObject(refused('providerAway'));
    });
  });

  it('is told from one that does not know the program\'s secret, which is in no line of the log', async () => {
    const clientSecret = 'not the secret that it has';
    await starting({ clientSecret }, async (begun) => {
      provider.signsIn('worker');
      const { body, cookie } = await begun();
      const to = await provider.walk((JSON.parse(body) as { address: string }).address);
      expect(await comeBack(to, { headers: { cookie } })).toMatchObject(refused('providerSettings'));
      expect(logged).toEqual([expect.stringMatching(/^sign-in by Plant ID: providerSettings: /)]);
      expect(logged.join()).not.toContain(clientSecret);
      expect(logged.join()).not.toContain(to.searchParams.get('code'));
    });
  });

  it('is away too when a machine before it says so, or what answers says nothing at all', async () => {
    for (const answer of [(reply: ServerResponse) => void reply.writeHead(503).end('down'), (reply: ServerResponse) => void reply.destroy()]) {
      const before = createServer((_request, reply) => answer(reply));
      await new Promise<void>((resolve) => void before.listen(0, '127.0.0.1', resolve));
      await starting({ issuer: `http://127.0.0.1:${(before.address() as AddressInfo).port}` }, async (begun) => {
        expect(JSON.parse((await begun()).body)).toMatchObject({ error: { code: 'providerAway' } });
      });
      before.close();
    }
  });

  it('is told from an address at which there is no provider', async () => {
    await starting({ issuer: `${provider.issuer}/nowhere` }, async (begun) => {
      expect(JSON.parse((await begun()).body)).toMatchObject({ error: { code: 'providerSettings' } });
    });
  });
});
