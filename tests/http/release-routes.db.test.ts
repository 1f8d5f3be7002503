import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';

let house: TestHouse;
let headers: Record<string, string>;
beforeAll(async () => {
  house = await testHouse();
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  ({ headers } = await (await house.enter()).person('badge-q', ['quality']));
  const parked = (unit: string, slot: string) => stated(0, 'park', { unit, place: 'YARD', slot });
  await house.app.actions.recordFacts('P', wire([
    register('A1', { dealer: 'Dealer 02' }), register('A2', { dealer: 'Dealer 01' }), register('A3'), register('A4'), register('GONE'),
    parked('A1', '1'), parked('A2', '2'), parked('A3', '3'), parked('A4', '4'), stated(1, 'cancel', { unit: 'GONE', reason: 'Order withdrawn' }),
  ]));
});
afterAll(() => house.close());

const post = async (path: string, payload?: object) => {
  const reply = await house.app.fastify.inject({ method: 'POST', url: `/api/plants/P/${path}`, headers, ...(payload ? { payload } : {}) });
  return { status: reply.statusCode, body: reply.body };
};
const list = async () => (await house.app.fastify.inject({ url: '/api/plants/P/ship-list.csv', headers })).body.trim().split('\r\n').map((line) => line.split(',').slice(0, 2).join(' '));
const state = async (unit: string) => (await house.app.actions.unitStory('P', unit)).state;

it('lists what is released by dealer, and takes a release back with a reason until the unit is shipped', async () => {
  expect((await post('units/A1/release')).status).toBe(200);
  expect((await post('units/A2/release')).status).toBe(200);
  expect(await list()).toEqual(['dealer serial', 'Dealer 01 A2', 'Dealer 02 A1']);
  expect((await post('units/A2/revoke-release', { reason: 'Scratch seen' })).status).toBe(200);
  expect(await state('A2')).toMatchObject({ released: null, stage: 'yard' });
  expect(await list()).toEqual(['dealer serial', 'Dealer 02 A1']);
  expect((await post('units/A2/revoke-release', { reason: 'Again' })).status).toBe(409);
  expect((await post('units/A1/revoke-release', { reason: '' })).status).toBe(400);
  expect((await post('units/NONE/revoke-release', { reason: 'No unit' })).status).toBe(404);
});

it('marks nothing shipped while one unit of the truck may not go, and says which and why', async () => {
  const refused = await post('ship', { units: ['A1', 'A2', 'GONE'], carrier: 'Truck 7' });
  expect(refused.status).toBe(409);
  expect(refused.body).toContain('A2: it is not released; GONE: it was cancelled');
  expect((await state('A1')).shipped).toBeNull();
  expect((await post('ship', { units: ['A1', 'A1'], carrier: 'Truck 7' })).status).toBe(200);
  expect(await state('A1')).toMatchObject({ stage: 'shipped', carrier: 'Truck 7', breaches: [] });
  expect((await post('ship', { units: ['A1'], carrier: 'Truck 8' })).body).toContain('A1: it is shipped already');
  expect((await post('units/A1/revoke-release', { reason: 'Too late' })).body).toContain('it is shipped');
});

it('ships what is not released only with an override, which stays on the unit', async () => {
  expect((await post('ship', { units: ['A3'], carrier: 'Truck 7', override: ' ' })).status).toBe(400);
  expect((await post('ship', { units: ['A3'], carrier: 'Truck 7', override: 'Dealer fits the awning' })).status).toBe(200);
  expect(await state('A3')).toMatchObject({ stage: 'shipped', breaches: [{ gate: 'release', settled: { who: 'badge-q', reason: 'Dealer fits the awning' } }] });
  expect((await house.app.actions.unitStory('P', 'A3')).flags.map(({ code }) => code)).toContain('notReleased');
});

it('keeps a shipment that was stated on the floor without release as a passed gate, until one who may settles it', async () => {
  await house.app.actions.recordFacts('P', wire([stated(9, 'ship', { unit: 'A4', carrier: '' })]));
  const [breach] = (await state('A4')).breaches;
  expect(breach).toMatchObject({ gate: 'release', settled: null });
  expect(await list()).toContain('Dealer 01 A4');
  expect((await house.app.actions.snapshot('P')).unreleasedShips).toMatchObject([{ unit: 'A4', breach: breach!.id }]);
  await house.app.actions.recordFacts('P', wire([stated(10, 'overrideGate', { unit: 'A4', breach: breach!.id, reason: 'Went by mistake, was ready' })]));
  expect((await state('A4')).breaches).toMatchObject([{ settled: { reason: 'Went by mistake, was ready' } }]);
  expect((await house.app.actions.snapshot('P')).unreleasedShips).toEqual([]);
  expect(await list()).not.toContain('Dealer 01 A4');
});

it.each([[{}], [{ units: [] }], [{ units: 'A1' }], [{ units: ['A1'], carrier: 7 }], [{ units: Array.from({ length: 51 }, (_, i) => `U${i}`) }]])('refuses %o', async (body) => {
  expect((await post('ship', body)).status).toBe(400);
});

it('knows no other unit', async () => {
  expect((await post('ship', { units: ['NONE'], carrier: '' })).status).toBe(404);
});

it('knows what was found most at a station over every unit, gone or not', async () => {
  const finding = (unit: string, happened: number) => stated(20, 'findWork', { unit, what: 'Screw missing', zone: null, severity: 'minor', belongsTo: 'A' }, { happened });
  const scratch = stated(20, 'findWork', { unit: 'A2', what: 'Scratch', zone: null, severity: 'minor', belongsTo: 'A' }, { happened: Date.now() - 1_000 });
  await house.app.actions.recordFacts('P', wire([finding('A1', Date.now() - 200 * 86_400_000), finding('A3', Date.now() - 190 * 86_400_000), scratch]));
  expect((await state('A1')).shipped).not.toBeNull();
  const told = async (actions: typeof house.app.actions) => (await actions.quality.commonFindings('P')).stations['A']?.map(({ what, found, recent }) => [what, found, recent]);
  expect(await told(house.app.actions)).toEqual([['Scratch', 1, 1], ['Screw missing', 2, 0]]);
  expect((await house.app.fastify.inject({ url: '/api/plants/P/common-findings', headers })).json()).toMatchObject({ stations: { A: [{ what: 'Scratch' }, { what: 'Screw missing' }] } });
  await house.app.actions.recordFacts('P', wire([stated(21, 'void', { fact: scratch.id, reason: 'Other unit' })]));
  expect(await told(house.app.actions)).toEqual([['Screw missing', 2, 0]]);
});
