import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { qualityPlant } from '../support/given-quality.ts';
import { MONDAY } from '../support/given.ts';

let house: TestHouse;
let headers: Record<string, string>;
beforeAll(async () => {
  house = await testHouse();
  const { zones, partKinds, lines, models } = qualityPlant();
  await house.app.actions.loadPlant(wholePlant({ zones, partKinds, lines, models }), 0, BY);
  ({ headers } = await (await house.enter()).person('badge-q', ['quality']));
  const units = ['A1', 'A2', 'A3'];
  await house.app.actions.recordFacts('P', wire(units.flatMap((unit, i) => [
    register(unit), stated(i, 'arrive', { unit, station: 'A' }), stated(i + 1, 'recordPart', { unit, part: 'AXLE', number: `=N-${i + 8}`, lot: `L${i}` }), stated(i + 5, 'leave', { unit, station: 'A' }),
  ])));
  await house.app.actions.recordFacts('P', wire([stated(20, 'ship', { unit: 'A1', carrier: 'Truck 3', override: 'Said so' })]));
});
afterAll(() => house.close());

const ask = async (method: 'GET' | 'POST', url: string, payload?: object) => {
  const reply = await house.app.fastify.inject({ method, url: `/api/plants/P/${url}`, headers, ...(payload ? { payload } : {}) });
  return { status: reply.statusCode, body: reply.body, json: <T>(): T => reply.json<T>() };
};
const DAY = new Date(MONDAY).toISOString().slice(0, 10);

it('tells which units have a component, where they are, and to whom and on what they went', async () => {
  const { rows } = (await ask('GET', 'which-units?part=AXLE&from=%3DN-8&to=%3DN-9')).json<{ rows: { unit: string; carrier: string; stage: string }[] }>();
  expect(rows).toMatchObject([{ unit: 'A1', carrier: 'Truck 3', stage: 'shipped', dealer: 'Dealer 01' }, { unit: 'A2', stage: 'onLine' }]);
  const csv = await ask('GET', 'which-units.csv?lot=L1');
  expect(csv.body.split('\r\n')[1]).toMatch(/^AXLE,'=N-9,L1,A2,/);
  expect((await ask('GET', `which-units?builtFrom=${DAY}&builtTo=${DAY}`)).json<{ rows: object[] }>().rows).toHaveLength(3);
  expect((await ask('GET', 'which-units?builtTo=2001-01-01')).json<{ rows: object[] }>().rows).toHaveLength(0);
});

it.each(['which-units', 'which-units?builtFrom=soon', 'which-units?part=a&part=b', 'which-units.csv'])('refuses %s', async (url) => {
  expect((await ask('GET', url)).status).toBe(400);
});

it('opens a campaign over what was found, shipped or not, signed unit by unit', async () => {
  const body = { code: 'C-1', title: 'Change the hub', steps: ['Jack', 'Change'], of: { part: 'AXLE', to: '=N-9' } };
  expect((await ask('POST', 'campaigns', body)).status).toBe(200);
  await house.app.actions.recordFacts('P', wire([stated(30, 'signStep', { unit: 'A1', campaign: 'C-1', step: 0, note: '' }, { happened: Date.now() + 1 }), stated(31, 'signStep', { unit: 'A1', campaign: 'C-1', step: 1, note: 'At the dealer' }, { happened: Date.now() + 2 })]));
  const { campaigns } = (await ask('GET', 'campaigns')).json<{ campaigns: object[] }>();
  expect(campaigns).toMatchObject([{ campaign: 'C-1', done: 1, units: [{ unit: 'A1', stage: 'shipped' }, { unit: 'A2', steps: [{ done: null }, { done: null }] }] }]);
  expect((await ask('GET', 'campaigns/C-1/units.csv')).body.trim().split('\r\n')).toHaveLength(5);
  expect((await ask('GET', 'campaigns/NONE/units.csv')).status).toBe(400);
});

it.each([[{}], [{ code: 'C', title: 'T', steps: [], of: { part: 'AXLE' } }], [{ code: 'C', title: 'T', steps: ['S'], of: {} }], [{ code: 'C', title: 'T', steps: ['S'], of: { part: 'NONE' } }]])('opens none by %o', async (body) => {
  expect((await ask('POST', 'campaigns', body)).status).toBe(400);
});
