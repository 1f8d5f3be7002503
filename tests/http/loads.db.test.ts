import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LoadsReply } from '../../server/contract/loads.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { MONDAY } from '../support/given.ts';
import { readXlsx } from '../support/read-xlsx.ts';

const now = Math.floor((Date.now() - MONDAY) / 60_000);

describe('the loads over HTTP', () => {
  let house: TestHouse;
  let headers: Record<string, string>;
  beforeAll(async () => {
    house = await testHouse();
    await house.app.actions.loadPlant(wholePlant(), 0, BY);
    const { replies } = await house.app.actions.recordFacts('P', wire([
      register('A1', { sequence: 1 }), register('A2', { sequence: 2, dealer: '=1+1' }), stated(now - 60, 'arrive', { unit: 'A1', station: 'S1' }), stated(now - 30, 'arrive', { unit: 'A2', station: 'S1' }),
      stated(now - 20, 'putOnLoad', { unit: 'A1', load: 'L1' }), stated(now - 20, 'putOnLoad', { unit: 'A2', load: 'L1' }),
      stated(now - 20, 'planLoad', { load: 'L1', carrier: 'Carrier A', pickUp: MONDAY + (now + 600) * 60_000, note: '' }), stated(now - 20, 'planLoad', { load: 'L2', carrier: 'Carrier B', pickUp: null, note: '' }),
    ]));
    headers = (await (await house.enter()).kiosk('badge-1')).headers;
    expect(replies.filter(({ outcome }) => outcome !== 'recorded')).toEqual([]);
  });
  afterAll(() => house.close());

  const get = (path: string) => house.app.fastify.inject({ url: `/api/plants/P/${path}`, headers });

  it('come with what is forecast of the whole load', async () => {
    const { loads } = (await get('loads')).json<LoadsReply>();
    expect(loads.map(({ load, standing, toGo }) => [load, standing, toGo])).toEqual([['L1', 'planned', 2], ['L2', 'planned', 0]]);
    const { outlook, units } = loads[0]!;
    expect(outlook).toMatchObject({ units: 2 });
    expect(outlook!.p50!).toBeGreaterThanOrEqual(Math.max(...units.map(({ ready }) => ready!)));
    expect(outlook!.missing!).toBeGreaterThanOrEqual(0);
  });

  it('leave as CSV and XLSX, a row a unit', async () => {
    const csv = parse((await get('loads.csv')).body, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
    expect(csv.map(({ load, serial, dealer }) => [load, serial, dealer])).toEqual([['L1', 'A1', 'Dealer 01'], ['L1', 'A2', "'=1+1"], ['L2', '', '']]);
    const { rows } = await readXlsx((await get('loads.xlsx')).rawPayload);
    expect(rows).toHaveLength(4);
  });

  it('group the late units', async () => {
    const csv = parse((await get('late.csv?group=load')).body, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
    expect(csv.map(({ group, load }) => [group, load])).toEqual([['L1', 'L1'], ['L1', 'L1']]);
  });

  it('of a plant that there is not are not found', async () => {
    expect((await house.app.fastify.inject({ url: '/api/plants/NONE/loads', headers })).statusCode).toBe(404);
  });
});
