import { afterAll, beforeAll, expect, it } from 'vitest';
import type { QualityRatesReply } from '../../server/contract/quality-rates.ts';
import type { ImportReply } from '../../server/contract/replies.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { qualityPlant } from '../support/given-quality.ts';

const VIN = '0ZZTB2525T0000417';
let house: TestHouse;
let headers: Record<string, string>;
beforeAll(async () => {
  house = await testHouse();
  const { zones, checks, partKinds, lines, models } = qualityPlant();
  await house.app.actions.loadPlant(wholePlant({ zones, checks, partKinds, lines, models }), 0, BY);
  const ago = (s: number) => ({ happened: Date.now() - s * 1_000 });
  const attempt = (unit: string, dry: boolean, s: number) => stated(0, 'checkResult', { unit, check: 'LEAK', version: 1, results: [{ item: 'dry', value: dry, judged: null }, { item: 'pressure', value: 15, judged: null }] }, ago(s));
  await house.app.actions.recordFacts('P', wire([
    register('A1'), register('A2'), stated(0, 'bindVin', { unit: 'A1', vin: VIN }), stated(0, 'arrive', { unit: 'A1', station: 'A' }, ago(90)), stated(0, 'arrive', { unit: 'A1', station: 'B' }, ago(80)),
    attempt('A1', true, 60), attempt('A2', false, 50), attempt('A2', true, 40),
  ]));
  ({ headers } = await (await house.enter()).person('badge-q', ['quality']));
});
afterAll(() => house.close());

const today = new Date().toISOString().slice(0, 10);
const get = async (url: string) => house.app.fastify.inject({ url: `/api/plants/P/${url}`, headers });
const rates = async () => (await get('quality-rates')).json<QualityRatesReply>();
const take = async (text: string, mode = 'good') => {
  const reply = await house.app.fastify.inject({ method: 'POST', url: `/api/plants/P/claims/import?mode=${mode}`, headers: { ...headers, 'content-type': 'text/csv' }, payload: text });
  return { status: reply.statusCode, ...reply.json<ImportReply>() };
};

it('tells yields, defects per unit and what was found most', async () => {
  const told = await rates();
  expect(told.checks.find(({ check }) => check === 'LEAK')).toEqual({ check: 'LEAK', checked: 2, passedAtFirst: 1, firstPassYield: 0.5 });
  expect(told).toMatchObject({ defectsPerUnit: 0.5, rolledThroughputYield: null, byStation: [{ label: 'B', amount: 1 }], byZone: [{ label: 'wall' }] });
  expect(told.weeks.at(-1)).toMatchObject({ defects: 1, units: 2, point: { value: 0.5, outside: false } });
  expect((await get('quality-rates?period=never')).statusCode).toBe(400);
});

it('takes claims by VIN, names every row it does not take, and leads the others back', async () => {
  const file = `claim,vin,date,what,zone,part,station\r\nD-1,${VIN.toLowerCase()},${today},Wall is wet,wall,,\r\nD-2,0ZZTB2525T0000000,${today},No such unit,,,\r\nD-3,${VIN},soon,No day,,,\r\nD-4,${VIN},${today},No zone,attic,,\r\n`;
  expect(await take(file, 'all')).toMatchObject({ status: 200, imported: 0, good: 1 });
  const reply = await take(file);
  expect(reply).toMatchObject({ status: 200, imported: 1, problems: [{ line: 3, column: 'vin' }, { line: 4, column: 'date' }, { line: 5, column: 'zone' }] });
  const { claims, claimsByStation, claimsByCheck } = await rates();
  expect(claims).toMatchObject([{ claim: 'D-1', unit: 'A1', ledTo: 'B', checks: ['LEAK'] }]);
  expect([claimsByStation[0], claimsByCheck[0]]).toMatchObject([{ label: 'B', amount: 1 }, { label: 'LEAK', amount: 1 }]);
  expect((await get('claims.csv')).body.split('\r\n')[1]).toContain(`D-1,A1,${VIN}`);
  await take(`claim;vin;date;what;station\nD-1;${VIN};${today};Wall is wet at the door;A\n`);
  expect((await rates()).claims).toMatchObject([{ what: 'Wall is wet at the door', ledTo: 'A' }]);
});

it('says what a file must have, and takes nothing else', async () => {
  expect((await get('claims/template.csv')).body).toBe('claim,vin,date,what,zone,part,station\r\n');
  expect((await take('number,vin\n1,2\n')).problems.map(({ column }) => column)).toEqual(['claim', 'date', 'what']);
  expect((await take('claim,vin,date,what\n"1')).problems[0]!.message).toContain('cannot be read as CSV');
  expect((await take('claim,vin,date,what\n', 'sometimes')).status).toBe(400);
  const json = await house.app.fastify.inject({ method: 'POST', url: '/api/plants/P/claims/import?mode=good', headers, payload: {} });
  expect(json.statusCode).toBe(415);
});
