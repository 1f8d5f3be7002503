import { afterAll, beforeAll, expect, it } from 'vitest';
import { qualityPlant } from '../support/given-quality.ts';
import { readPage } from '../support/read-codes.ts';
import type { Entered } from '../support/enter.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from './house.ts';

let me: Entered;
let house: TestHouse;
beforeAll(async () => {
  house = await testHouse();
  const { zones, checks, partKinds, releaseItems, lines, models } = qualityPlant();
  const vin = { manufacturer: '0ZZ', descriptors: { M: 'TB242' }, modelYear: 2026, plant: '0' };
  await house.app.actions.loadPlant(wholePlant({ zones, checks, partKinds, releaseItems, lines, models, vin }), 0, BY);
  me = await (await house.enter()).person('badge-1');
});
afterAll(() => house.close());

const ask = async (method: 'GET' | 'POST', url: string) => {
  const reply = await house.app.fastify.inject({ method, url, headers: me.headers });
  return { status: reply.statusCode, body: reply.body, headers: reply.headers };
};
const passed = (unit: string, check: string, ...results: [string, boolean | number][]) =>
  stated(5, 'checkResult', { unit, check, version: 1, results: results.map(([item, value]) => ({ item, value, judged: null })) });

it('refuses a release with everything that is missing, lets it through once it is done, and takes it back by a late fact', async () => {
  const { actions } = house.app;
  await actions.recordFacts('P', wire([register('A1'), stated(0, 'park', { unit: 'A1', place: 'YARD', slot: '1' })]));
  const refused = await ask('POST', '/api/plants/P/units/A1/release');
  expect(refused.status).toBe(409);
  for (const words of ['number to record: Part AXLE', 'check not made: Check LEAK', 'no VIN is bound', 'check not made: Check LABEL', 'to settle: Papers']) expect(refused.body).toContain(words);
  const { vin } = await actions.offeredVin('P', 'A1');
  expect(vin).toMatch(/^0ZZTB242.T0000001$/);
  const done = [
    stated(4, 'bindVin', { unit: 'A1', vin: vin! }), passed('A1', 'LEAK', ['dry', true], ['pressure', 15]), passed('A1', 'LABEL', ['one', true]),
    stated(6, 'recordPart', { unit: 'A1', part: 'AXLE', number: 'N-1', lot: '' }), stated(7, 'settleItem', { unit: 'A1', item: 'PAPERS', settled: true, note: '' }),
    stated(8, 'checkResult', { unit: 'A1', check: 'FINAL', version: 1, results: [{ item: 'one', value: true, judged: null }] }, { happened: Date.now() }),
  ];
  const { replies } = await actions.recordFacts('P', wire(done));
  expect(replies.map(({ outcome }) => outcome)).toEqual(done.map(() => 'recorded'));
  expect((await ask('POST', '/api/plants/P/units/A1/release')).status).toBe(200);
  expect((await actions.unitStory('P', 'A1')).state.stage).toBe('released');
  await actions.recordFacts('P', wire([stated(9, 'findWork', { unit: 'A1', what: 'Screw missing', zone: 'wall', severity: 'safety', belongsTo: 'B' })]));
  const story = await actions.unitStory('P', 'A1');
  expect(story.state).toMatchObject({ stage: 'yard', released: null, releaseLost: { missing: ['fix: Screw missing'] } });
  expect(story.flags.map(({ code }) => code)).toContain('notReadyToShip');
});

it('refuses the release of a unit whose VIN another one has', async () => {
  const { actions } = house.app;
  const { vin } = (await actions.unitStory('P', 'A1')).state;
  await actions.recordFacts('P', wire([register('A2'), stated(0, 'park', { unit: 'A2', place: 'YARD', slot: '2' }), stated(4, 'bindVin', { unit: 'A2', vin: vin! })]));
  expect((await ask('POST', '/api/plants/P/units/A2/release')).body).toContain(`the VIN ${vin} is bound to A1 too`);
  expect((await actions.offeredVin('P', 'A2')).vin).toMatch(/000002$/);
});

it('flags a wrong VIN in its answer, and shows the same state on every screen', async () => {
  const { actions } = house.app;
  const { replies } = await actions.recordFacts('P', wire([register('A3'), stated(4, 'bindVin', { unit: 'A3', vin: '1M8GDM9A0KP042788' })]));
  expect(replies.at(-1)).toMatchObject({ outcome: 'flagged', flags: ['vinWrong'] });
  const before = await actions.unitStory('P', 'A1');
  expect((await house.app.actions.snapshot('P')).units.find(({ state }) => state.unit === 'A1')!.state).toEqual(before.state);
});

it('gives out paper that fetches nothing and runs nothing', async () => {
  const page = await ask('GET', '/api/plants/P/units/A1/traveler?language=es');
  expect([page.status, page.headers['content-type'], page.headers['content-security-policy']]).toEqual([200, 'text/html; charset=utf-8', "default-src 'none'; img-src data:; style-src 'unsafe-inline'"]);
  expect(page.body).toContain('Hoja viajera');
  expect((await readPage(page.body)).map(({ text }) => text)).toContain('A1');
  expect((await ask('GET', '/api/plants/P/units/A1/tags')).body).toContain('Part AXLE');
  expect((await ask('GET', '/api/plants/P/placards')).status).toBe(200);
  expect((await ask('GET', '/api/plants/P/units/NONE/traveler')).status).toBe(404);
  expect((await ask('GET', '/api/plants/NONE/placards')).status).toBe(404);
});
