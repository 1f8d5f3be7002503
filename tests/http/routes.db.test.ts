import fc from 'fast-check';
import { v7 } from 'uuid';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ERRORS } from '../../server/contract/errors.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import type { Entered } from '../support/enter.ts';
import { minute } from '../support/given.ts';


describe('the routes', () => {
  let house: TestHouse;
  let me: Entered;
  beforeAll(async () => {
    house = await testHouse();
    await house.app.actions.loadPlant(wholePlant(), 0, BY);
    me = await (await house.enter()).person('badge-1');
    await house.app.actions.recordFacts('P', wire([register('A1'), stated(0, 'arrive', { unit: 'A1', station: 'S1' })]));
  });
  afterAll(() => house.close());

  const ask = async (method: 'GET' | 'POST' | 'PUT' | 'DELETE' | 'PATCH', url: string, payload?: string | object, headers: Record<string, string> = {}) => {
    const reply = await house.app.fastify.inject({ method, url, headers: { ...me.headers, ...headers }, ...(payload === undefined ? {} : { payload }) });
    return { status: reply.statusCode, body: reply.body, json: <T>(): T => reply.json<T>(), code: codeOf(reply.body), headers: reply.headers };
  };
  const codeOf = (body: string): string | null => {
    try {
      return (JSON.parse(body) as { error?: { code: string } }).error?.code ?? null;
    } catch {
      return null;
    }
  };

  it('answer 200 on /health without identity, and ask for it under /api', async () => {
    expect((await house.app.fastify.inject({ url: '/health' })).statusCode).toBe(200);
    const none = await house.app.fastify.inject({ url: '/api/plants' });
    expect([none.statusCode, codeOf(none.body)]).toEqual([401, 'noIdentity']);
  });

  it.each([
    ['POST', '/api/plants/P/facts', '{', 400, 'malformedJson'],
    ['POST', '/api/plants/P/facts', '', 400, 'malformedJson'],
    ['POST', '/api/plants/P/facts', '{"facts":{}}', 400, 'malformedBody'],
    ['POST', '/api/plants/P/facts', '[]', 400, 'malformedBody'],
    ['POST', '/api/plants/P/facts', JSON.stringify({ facts: Array.from({ length: 1_001 }, () => 0) }), 413, 'batchTooLarge'],
    ['POST', '/api/plants/P/facts', JSON.stringify({ facts: 'x'.repeat(4_300_000) }), 413, 'bodyTooLarge'],
    ['POST', '/api/plants/NONE/facts', '{"facts":[]}', 404, 'unknownPlant'],
    ['PUT', '/api/plants/P/setup', '{}', 400, 'malformedPlant'],
    ['PUT', '/api/plants/P/setup', '{"code":"Q"}', 400, 'malformedPlant'],
    ['PUT', '/api/plants/P/setup?validFrom=soon', JSON.stringify({}), 400, 'malformedQuery'],
    ['GET', '/api/plants/P/units/NONE', undefined, 404, 'unknownUnit'],
    ['GET', '/api/plants/P%00/snapshot', undefined, 400, 'malformedQuery'],
    ['GET', '/api/plants/%ff/snapshot', undefined, 400, 'malformedQuery'],
    ['GET', '/api/plants/P/late?dealer=a&dealer=b', undefined, 400, 'malformedQuery'],
    ['GET', '/api/nothing', undefined, 404, 'unknownRoute'],
    ['DELETE', '/api/plants/P/facts', undefined, 404, 'unknownRoute'],
    ['POST', '/api/plants/P/units/A1/release', undefined, 409, 'releaseRefused'],
    ['POST', '/api/plants/P/units/import?mode=check', '{}', 415, 'wrongMediaType'],
  ] as const)('%s %s of %s: %i %s', async (method, url, payload, status, code) => {
    const reply = await ask(method, url, payload, payload === undefined ? {} : { 'content-type': 'application/json' });
    expect([reply.status, reply.code]).toEqual([status, code]);
  });

  it('refuse another content type', async () => {
    expect(await ask('POST', '/api/plants/P/facts', '<a/>', { 'content-type': 'application/xml' })).toMatchObject({ status: 415, code: 'wrongMediaType' });
    expect(await ask('POST', '/api/plants/P/facts', 'x', { 'content-type': 'text/plain' })).toMatchObject({ status: 415, code: 'wrongMediaType' });
  });

  it('never fail at what they are sent: any JSON on any route is answered from the closed list', async () => {
    const urls = ['/api/plants/P/facts', '/api/plants/P/setup', '/api/plants/P/units/import?mode=good', '/api/plants/P/units/A1/release', '/api/plants/P/snapshot'];
    await fc.assert(fc.asyncProperty(fc.constantFrom(...urls), fc.constantFrom('POST' as const, 'PUT' as const, 'PATCH' as const), fc.jsonValue(), fc.constantFrom('application/json', 'text/csv'), async (url, method, value, type) => {
      const reply = await ask(method, url, JSON.stringify(value), { 'content-type': type });
      expect(reply.status).not.toBe(500);
      if (reply.status >= 400) expect(Object.keys(ERRORS)).toContain(reply.code);
    }), { numRuns: 300 });
  });

  it('never lose a good fact to a malformed one: wrong types in every field of every batch', async () => {
    // They happened before anybody was let in here: a person says so today.
    const by = { who: me.badge, device: me.device, told: true };
    const good = wire([stated(1, 'heads', { station: 'S1', heads: 2 }, by), stated(2, 'openHold', { unit: 'A1', reason: 'R', keepsFrom: 'work', fromStation: null, note: '' }, by)]) as Record<string, unknown>[];
    await fc.assert(fc.asyncProperty(fc.constantFrom(...good), fc.nat(12), fc.jsonValue({ maxDepth: 1 }), async (fact, field, value) => {
      const keys = Object.keys(fact);
      const spoiled = { ...fact, [keys[field % keys.length]!]: value };
      const kept = { ...good[0], id: v7() };
      const reply = await ask('POST', '/api/plants/P/facts', { facts: [spoiled, kept, value] });
      expect(reply.status).toBe(200);
      expect(reply.json<{ replies: { outcome: string }[] }>().replies[1]!.outcome).toBe('recorded');
    }), { numRuns: 200 });
  });

  it('take a batch in which an object names a prototype, without that name', async () => {
    const good = { ...(wire([stated(1, 'heads', { station: 'S1', heads: 2 }, { who: me.badge, device: me.device, told: true })])[0] as object), id: v7() };
    const body = `{"facts":[${JSON.stringify(good)},{"__proto__":{"kind":"arrive"}}]}`;
    const reply = await ask('POST', '/api/plants/P/facts', body, { 'content-type': 'application/json' });
    expect(reply.json<{ replies: { outcome: string }[] }>().replies.map(({ outcome }) => outcome)).toEqual(['recorded', 'refused']);
  });

  it('tell a unit, the late units and the snapshot of the same version alike', async () => {
    const snapshot = (await ask('GET', '/api/plants/P/snapshot')).json<{ units: { state: { unit: string }; late: { minutesLate: number } | null }[] }>();
    const late = (await ask('GET', '/api/plants/P/late')).json<{ units: { unit: string; late: boolean }[] }>();
    const story = (await ask('GET', '/api/plants/P/units/A1')).json<{ state: { unit: string }; facts: unknown[]; visits: unknown[] }>();
    expect(late.units.map(({ unit, late: is }) => [unit, is])).toEqual([['A1', true]]);
    expect(story).toMatchObject({ state: { unit: 'A1', stage: 'onLine' }, visits: [{ station: 'S1' }] });
    expect(snapshot.units.find(({ state }) => state.unit === 'A1')?.late?.minutesLate).toBeGreaterThan(0);
    const csv = await ask('GET', '/api/plants/P/late.csv?only=late');
    expect(csv.headers['content-type']).toMatch(/^text\/csv/);
    expect(csv.body.split('\r\n').map((line) => line.split(',')[0])).toEqual(['serial', 'A1', '']);
  });

  it('take units from CSV: check, all or good, and only what changed', async () => {
    const text = 'serial,model,options,order,dealer,sequence,planned_release,dealer_wish,promise\nB1,M,,SO-9,Dealer 02,5,2026-06-02 06:00,,2026-06-09\nB2,NONE,,,,6,,,\n';
    const send = async (mode: string, body = text) => (await ask('POST', `/api/plants/P/units/import?mode=${mode}`, body, { 'content-type': 'text/csv' })).json<{ good: number; imported: number; problems: { line: number; column: string }[]; version: number }>();
    expect(await send('check')).toMatchObject({ good: 1, imported: 0, problems: [{ line: 3, column: 'model' }] });
    expect(await send('all')).toMatchObject({ good: 1, imported: 0 });
    const first = await send('good');
    expect(first).toMatchObject({ good: 1, imported: 1 });
    expect((await send('good')).version).toBe(first.version);
    const moved = await send('good', text.replace('2026-06-09', '2026-06-10').replace(',5,', ',7,'));
    expect(moved.version).toBe(first.version + 2);
    const { state } = (await ask('GET', '/api/plants/P/units/B1')).json<{ state: unknown }>();
    expect(state).toMatchObject({ sequence: 7, promise: '2026-06-10', firstPromise: '2026-06-09', promiseMoved: { who: 'badge-1' }, plannedRelease: Date.parse('2026-06-02T06:00:00Z') });
  });

  it('leave as it is what a file of units has no column for, and name an order that would change', async () => {
    const send = async (text: string) => (await ask('POST', '/api/plants/P/units/import?mode=good', text, { 'content-type': 'text/csv' })).json<{ good: number; imported: number; problems: unknown[]; version: number }>();
    const { version } = await send('serial,model,order,dealer,sequence,planned_release,dealer_wish,promise\nB2,M,SO-1,Dealer 01,5,2026-06-02 06:00,2026-06-08,2026-06-09');
    const of = async () => (await ask('GET', '/api/plants/P/units/B2')).json<{ state: unknown }>().state;
    expect(await send('serial,model,sequence\nB2,M,6')).toMatchObject({ imported: 1, version: version + 1 });
    const schedule = { order: 'SO-1', dealer: 'Dealer 01', plannedRelease: Date.parse('2026-06-02T06:00:00Z'), wish: '2026-06-08', promise: '2026-06-09' };
    expect(await of()).toMatchObject({ ...schedule, sequence: 6 });
    expect(await send('serial,model,sequence,order\nB2,M,7,SO-2')).toMatchObject({ good: 0, imported: 0, problems: [{ line: 2, column: 'order' }] });
    expect(await send('serial,model,sequence,order,promise\nB2,M,7,,')).toMatchObject({ imported: 1 });
    expect(await of()).toMatchObject({ ...schedule, sequence: 7, promise: null });
  });

  it('release a unit off the line, and refuse it with every reason', async () => {
    const hold = stated(31, 'openHold', { unit: 'R1', reason: 'Leak', keepsFrom: 'shipping', fromStation: null, note: '' });
    const short = stated(30, 'leaveShort', { unit: 'R1', station: 'S1', items: [{ what: 'Door', owner: 'Stores', fitAt: null, expected: null }] });
    const facts = [register('R1'), stated(0, 'arrive', { unit: 'R1', station: 'S1' }), short, hold, stated(40, 'park', { unit: 'R1', place: 'YARD', slot: '1' })];
    await house.app.actions.recordFacts('P', wire(facts));
    const refused = await ask('POST', '/api/plants/P/units/R1/release');
    expect(refused.body).toMatch(/Door.*Leak/);
    await house.app.actions.recordFacts('P', wire([stated(50, 'clearHold', { unit: 'R1', hold: hold.id, note: '' }), stated(51, 'fitShort', { unit: 'R1', short: short.id, item: 0 })]));
    expect((await ask('POST', '/api/plants/P/units/R1/release')).status).toBe(200);
    expect((await ask('GET', '/api/plants/P/units/R1')).json<{ state: { stage: string } }>().state.stage).toBe('released');
  });

  it('add versions of the set-up and lose no history', async () => {
    const later = wholePlant({ name: 'Renamed' });
    const reply = await ask('PUT', `/api/plants/P/setup?validFrom=${new Date(minute(0)).toISOString()}`, later);
    expect(reply.json()).toEqual({ version: 2, validFrom: minute(0) });
    expect((await ask('GET', '/api/plants')).json()).toEqual([{ code: 'P', name: 'Renamed', setupVersion: 2, timeZone: 'UTC' }]);
    expect((await ask('GET', '/api/plants/P/units/A1')).status).toBe(200);
    expect((await ask('GET', '/api/schemas/plant.json')).json<{ type: string }>().type).toBe('object');
  });
});
