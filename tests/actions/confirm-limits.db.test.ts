import type { Entered } from '../support/enter.ts';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { measured, qualityPlant, yesNo, aCheck } from '../support/given-quality.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from './house.ts';

let house: TestHouse;
let by: Entered;
beforeAll(async () => {
  house = await testHouse();
  const { zones, lines, models } = qualityPlant();
  const checks = [aCheck('LEAK', 'B', { items: [yesNo('dry'), measured('pressure', 10, 20, false), measured('any', null, null, false)] })];
  await house.app.actions.loadPlant(wholePlant({ zones, checks, lines, models }), 0, BY);
  by = await (await house.enter()).person('badge-q', ['quality']);
});
afterAll(() => house.close());

const confirm = async (check: string, item: string, payload: object) => {
  const reply = await house.app.fastify.inject({ method: 'POST', url: `/api/plants/P/checks/${check}/items/${item}/confirm`, headers: by.headers, payload });
  return { status: reply.statusCode, body: reply.body };
};
const attempt = (pressure: number, judged: boolean | null) => stated(0, 'checkResult', {
  unit: 'A1', check: 'LEAK', version: 1, results: [{ item: 'dry', value: true, judged: null }, { item: 'pressure', value: pressure, judged }, { item: 'any', value: 1, judged: true }],
}, { happened: Date.now() });
const own = async () => (await house.app.actions.unitStory('P', 'A1')).state.checks[0]!;
const outcome = async () => (await own()).outcome;

it('records who confirmed limits, when and by which edition; a reading of before stays judged by the person', async () => {
  const { actions } = house.app;
  await actions.recordFacts('P', wire([register('A1'), attempt(99, true)]));
  expect(await outcome()).toBe('passed');
  expect((await confirm('LEAK', 'pressure', { edition: 'Local code, edition of 2026' })).status).toBe(200);
  const { plant, version } = await actions.setup('P');
  expect(version).toBe(2);
  expect(plant.checks![0]!.items[1]).toMatchObject({ confirmed: { who: 'badge-q', edition: 'Local code, edition of 2026', when: new Date().toISOString().slice(0, 10) } });
  expect((await actions.setups('P')).at(-1)).toMatchObject({ who: 'badge-q', device: by.device });
  expect(await own()).toMatchObject({ outcome: 'passed', limits: [{ item: 'pressure', edition: null }] });
  await new Promise((later) => setTimeout(later, 5));
  await actions.recordFacts('P', wire([attempt(99, true)]));
  expect(await own()).toMatchObject({ outcome: 'failed', limits: [{ item: 'pressure', edition: 'Local code, edition of 2026' }] });
  await actions.recordFacts('P', wire([attempt(15, null)]));
  expect(await outcome()).toBe('passed');
});

it.each([
  ['NONE', 'pressure', { edition: 'E' }, 404, 'unknownCheck'], ['LEAK', 'dry', { edition: 'E' }, 404, 'unknownCheck'], ['LEAK', 'any', { edition: 'E' }, 404, 'unknownCheck'],
  ['LEAK', 'pressure', { edition: ' ' }, 400, 'malformedBody'], ['LEAK', 'pressure', {}, 400, 'malformedBody'],
])('confirms nothing at %s/%s for %o', async (check, item, body, status, code) => {
  const reply = await confirm(check, item, body);
  expect([reply.status, reply.body.includes(`"${code}"`)]).toEqual([status, true]);
  expect((await house.app.actions.setup('P')).version).toBe(2);
});
