import { afterAll, beforeAll, expect, it } from 'vitest';
import type { LabelFigures } from '../../server/core/setup/labels.ts';
import { lackingLabels } from '../../server/core/gates/label-signed.ts';
import type { Entered } from '../support/enter.ts';
import { aCheck, measured } from '../support/given-quality.ts';
import { LABEL_VIN, labelCheck, labelPlant, someFigures } from '../support/given-labels.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from './house.ts';

const HEAVY = someFigures({ models: ['M'], options: ['O'], gvwr: { lb: 7_900 } });
const EDITION = 'Rule in force, edition of 2026';
let house: TestHouse;
let by: Entered;
let worker: Entered;
beforeAll(async () => {
  house = await testHouse();
  const { zones, checks, labels, lines, models } = labelPlant({ figures: [someFigures({ models: ['M'] }), HEAVY] });
  const options = [{ code: 'O', name: 'Option', minutes: {} }];
  await house.app.actions.loadPlant(wholePlant({ zones, checks: [...checks!, aCheck('LEAK', 'B', { items: [measured('pressure', 10, 20, false)] })], labels, lines, models: [...models, { ...models[0]!, code: 'N' }], options }), 0, BY);
  await house.app.actions.recordFacts('P', wire([register('CF1'), register('CF2', { options: ['O'] }), register('CF3', { model: 'N' })]));
  const entrance = await house.enter();
  [by, worker] = [await entrance.person('badge-q', ['quality']), await entrance.person('badge-w', ['worker', 'supervisor', 'productionControl', 'inspector'])];
});
afterAll(() => house.close());

const confirm = async (unit: string, payload: object, { headers } = by) => {
  const reply = await house.app.fastify.inject({ method: 'POST', url: `/api/plants/P/units/${unit}/labels/confirm`, headers, payload });
  return { status: reply.statusCode, code: reply.statusCode === 200 ? '' : reply.json<{ error: { code: string } }>().error.code };
};
const setup = () => house.app.actions.setup('P');
const figures = async (): Promise<LabelFigures[]> => (await setup()).plant.labels!.figures;
const state = async (unit: string) => (await house.app.actions.unitStory('P', unit)).state;
const CF1 = someFigures({ models: ['M'] });

it.each<[string, string, object, number, string]>([
  ['a unit that the plant has not', 'CF9', { edition: EDITION, figures: CF1 }, 404, 'unknownUnit'],
  ['a model without figures', 'CF3', { edition: EDITION, figures: CF1 }, 404, 'noLabelFigures'],
  ['an empty edition', 'CF1', { edition: ' ', figures: CF1 }, 400, 'malformedBody'], ['no edition', 'CF1', { figures: CF1 }, 400, 'malformedBody'],
  ['an edition that is no text', 'CF1', { edition: 2026, figures: CF1 }, 400, 'malformedBody'],
  ['no word of what was seen', 'CF1', { edition: EDITION }, 400, 'malformedBody'], ['half of it', 'CF1', { edition: EDITION, figures: { gvwr: { lb: 7_600 } } }, 400, 'malformedBody'],
  ['other figures than hold', 'CF1', { edition: EDITION, figures: { ...CF1, gvwr: { lb: 7_601 } } }, 409, 'setupChanged'],
  ['figures that leave something out', 'CF1', { edition: EDITION, figures: { ...CF1, lpGas: undefined } }, 409, 'setupChanged'],
  ['figures of another build', 'CF1', { edition: EDITION, figures: HEAVY }, 409, 'setupChanged'],
  ['figures that somebody confirmed', 'CF1', { edition: EDITION, figures: { ...CF1, confirmed: { who: 'x', when: '2026-01-05', edition: 'E' } } }, 409, 'setupChanged'],
])('confirms nothing for %s', async (_, unit, body, status, code) => {
  expect(await confirm(unit, body)).toEqual({ status, code });
  expect((await setup()).version).toBe(1);
});

it('is for quality and the administrator, as the limits are', async () => {
  expect(await confirm('CF1', { edition: EDITION, figures: CF1 }, worker)).toEqual({ status: 403, code: 'noRight' });
  expect(await confirm('CF1', { edition: EDITION, figures: CF1 }, { ...by, headers: { cookie: '' } })).toEqual({ status: 401, code: 'noIdentity' });
  expect((await setup()).version).toBe(1);
});

it('records who held the figures of a build against which edition, and when, of that entry alone; what was signed stays signed', async () => {
  const { actions } = house.app;
  const now = () => ({ happened: Date.now() });
  const { results } = labelCheck(0, 5_480);
  await actions.recordFacts('P', wire([stated(0, 'bindVin', { unit: 'CF1', vin: LABEL_VIN }, now()), stated(0, 'checkResult', { unit: 'CF1', check: 'LABEL', version: 1, results }, now())]));
  const before = await state('CF1');
  expect(before.labels.map(({ label }) => label)).toEqual(['certification', 'tires', 'cargo']);
  // As JSON has it: in another order of its entries.
  const shown = Object.fromEntries(Object.entries(CF1).toReversed());
  expect(await confirm('CF1', { edition: ` ${EDITION} `, figures: shown })).toEqual({ status: 200, code: '' });
  const confirmed = { who: 'badge-q', when: new Date().toISOString().slice(0, 10), edition: EDITION };
  expect(await figures()).toEqual([{ ...CF1, confirmed }, HEAVY]);
  expect((await setup()).version).toBe(2);
  expect((await actions.setups('P')).at(-1)).toMatchObject({ who: 'badge-q', device: by.device });
  const after = await state('CF1');
  expect(after).toEqual(before);
  expect(lackingLabels(after, (await setup()).plant)).toEqual([]);
});

it('confirms by a later edition what is shown as confirmed, and refuses who saw it before', async () => {
  expect(await confirm('CF1', { edition: 'Later', figures: CF1 })).toEqual({ status: 409, code: 'setupChanged' });
  const [now] = await figures();
  expect(await confirm('CF1', { edition: 'Later edition', figures: now })).toEqual({ status: 200, code: '' });
  expect((await figures())[0]!.confirmed).toMatchObject({ edition: 'Later edition' });
});

it('undoes nothing that is confirmed at the same moment: each holds, or is refused for another to look again', async () => {
  const limits = async () => (await house.app.fastify.inject({ method: 'POST', url: '/api/plants/P/checks/LEAK/items/pressure/confirm', headers: by.headers, payload: { edition: EDITION } })).statusCode;
  const { version } = await setup();
  const answers = await Promise.all([confirm('CF2', { edition: EDITION, figures: HEAVY }).then(({ status }) => status), limits()]);
  expect(answers.every((status) => status === 200 || status === 409)).toBe(true);
  const { plant, version: after } = await setup();
  const item = plant.checks!.find(({ code }) => code === 'LEAK')!.items[0]!;
  const held = [plant.labels!.figures[1]!.confirmed !== null, item.kind === 'measured' && item.confirmed !== null];
  expect(held).toEqual(answers.map((status) => status === 200));
  expect(after - version).toBe(held.filter(Boolean).length);
  expect(after).toBeGreaterThan(version);
});
