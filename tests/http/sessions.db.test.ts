import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, testHouse, type TestHouse, wholePlant } from '../actions/house.ts';
import type { Entered } from '../support/enter.ts';

const MINUTE = 60_000;

describe('who is signed in', () => {
  let house: TestHouse;
  let ahead = 0;
  beforeAll(async () => {
    house = await testHouse(0, { clock: () => Date.now() + ahead });
    await house.app.actions.loadPlant(wholePlant(), 0, BY);
  });
  afterAll(() => house.close());
  const asks = async ({ headers }: Pick<Entered, 'headers'>): Promise<number> => (await house.app.fastify.inject({ url: '/api/plants/P/setup', headers })).statusCode;
  const later = (minutes: number): void => void (ahead += minutes * MINUTE);

  it('is so for half an hour without asking anything, and no longer', async () => {
    const one = await (await house.enter()).person('idle-1', ['lead'], ['P']);
    later(29);
    expect(await asks(one)).toBe(200);
    later(29);
    expect(await asks(one)).toBe(200);
    later(31);
    expect(await asks(one)).toBe(401);
  });

  it('signs in again after twelve hours, however busy', async () => {
    // The first administrator was signed in before; what was too long ago is over for everybody.
    const reply = await house.app.fastify.inject({ method: 'POST', url: '/api/sign-in', payload: { login: 'idle-1', password: 'a long phrase for tests', device: 'busy-desk' } });
    const cookie = [reply.headers['set-cookie'] ?? []].flat().map((one) => one.split(';')[0]).join('; ');
    for (let quarters = 0; quarters < 47; quarters++) {
      later(15);
      expect(await asks({ headers: { cookie } })).toBe(200);
    }
    later(15);
    expect(await asks({ headers: { cookie } })).toBe(401);
  });

  /** The first administrator, signed in anew: whoever was before is so no more. */
  const office = async () => {
    const reply = await house.app.fastify.inject({ method: 'POST', url: '/api/sign-in', payload: { login: 'admin', password: 'a long phrase for tests', device: `office-${ahead}` } });
    const headers = { cookie: [reply.headers['set-cookie'] ?? []].flat().map((one) => one.split(';')[0]).join('; ') };
    return (url: string, payload: object, by: Record<string, string> = headers) => house.app.fastify.inject({ method: 'POST', url, payload, headers: by });
  };

  it('lets in by a code for ten minutes and by a link for a day', async () => {
    const post = await office();
    const newCode = async (): Promise<string> => (await post('/api/plants/P/devices/codes', { name: 'K', stations: null })).json<{ code: string }>().code;
    const newLink = async (badge: string): Promise<string> => (await post('/api/plants/P/people', { name: badge, badge, login: badge, language: 'en', roles: ['lead'] })).json<{ link: string }>().link.split('#')[1]!;
    const [early, late] = [await newCode(), await newCode()];
    const [soon, tooLate] = [await newLink('soon'), await newLink('too-late')];
    later(9);
    expect((await post('/api/pair', { code: early, device: 'early' }, {})).statusCode).toBe(200);
    later(2);
    expect((await post('/api/pair', { code: late, device: 'late' }, {})).json()).toMatchObject({ error: { code: 'codeNotGood' } });
    later(23 * 60);
    expect((await post('/api/links', { token: soon, password: 'a long phrase for tests' }, {})).statusCode).toBe(200);
    later(60);
    expect((await post('/api/links', { token: tooLate, password: 'a long phrase for tests' }, {})).json()).toMatchObject({ error: { code: 'linkNotGood' } });
  });

  it('by badge and PIN at a kiosk is so for five minutes, and the kiosk goes on', async () => {
    const post = await office();
    await post('/api/plants/P/people', { name: 'Quality', badge: 'pin-1', login: null, pin: '80317264', language: 'en', roles: ['quality'] });
    const { code } = (await post('/api/plants/P/devices/codes', { name: 'K', stations: null })).json<{ code: string }>();
    const kiosk = String((await post('/api/pair', { code, device: 'kiosk-of-pins' }, {})).headers['set-cookie']).split(';')[0]!;
    const signed = String((await post('/api/plants/P/pin', { badge: 'pin-1', pin: '80317264' }, { cookie: kiosk })).headers['set-cookie']).split(';')[0]!;
    const me = async (): Promise<unknown> => (await house.app.fastify.inject({ url: '/api/me', headers: { cookie: `${kiosk}; ${signed}` } })).json<{ person: { how: string } | null }>().person?.how;
    later(4);
    expect(await me()).toBe('pin');
    later(2);
    expect([await me(), await asks({ headers: { cookie: kiosk } })]).toEqual([undefined, 200]);
  });
});
