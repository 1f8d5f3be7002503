import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rebuildDerived } from '../../server/actions/rebuild-derived.ts';
import { minute } from '../support/given.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from './house.ts';

const UNITS = ['U1', 'U2', 'U3', 'U4', 'U5'];
const HOURS = 24 * 20;

describe('minutes of visits over weeks', () => {
  let house: TestHouse;
  let plants = 0;
  beforeAll(async () => {
    house = await testHouse();
  });
  afterAll(() => house.close());

  // Units forgotten where they stand are put out by those that come later: such a stay ends once, whatever stretches the minutes are told in.
  it('are told once for each stay, in stretches and after each late fact as when told from the start', async () => {
    const scan = fc.record({ hour: fc.nat(HOURS), ms: fc.nat(3_599_999), unit: fc.nat(UNITS.length - 1), station: fc.constantFrom('S1', 'S2', 'S3'), finish: fc.boolean() });
    await fc.assert(fc.asyncProperty(fc.array(scan, { minLength: 10, maxLength: 40 }), async (scans) => {
      const code = `M${plants++}`;
      await house.app.actions.loadPlant(wholePlant({ code }), 0, BY);
      await house.app.actions.recordFacts(code, wire(UNITS.map((unit) => register(unit))));
      for (let i = 0; i < scans.length; i += 7) {
        const facts = scans.slice(i, i + 7).flatMap(({ hour, ms, unit, station, finish }) => [
          stated(0, 'arrive', { unit: UNITS[unit]!, station }, { happened: minute(hour * 60) + ms }),
          ...(finish ? [stated(0, 'finish', { unit: UNITS[unit]!, station }, { happened: minute(hour * 60 + 20) + ms })] : []),
        ]);
        await house.app.actions.recordFacts(code, wire(facts));
        await house.app.actions.minutesTold(code);
      }
      const rows = await house.db.selectFrom('visits').where('plant', '=', code).select(['arrived', 'departed']).execute();
      expect(rows.every(({ arrived, departed }) => departed >= arrived)).toBe(true);
      expect((await rebuildDerived(house.db, code)).identical).toBe(true);
    }), { numRuns: 25, endOnFailure: true });
  }, 120_000);

  it('follow a late fact that many more facts came after', async () => {
    const code = `M${plants++}`;
    await house.app.actions.loadPlant(wholePlant({ code }), 0, BY);
    await house.app.actions.recordFacts(code, wire([register('U1'), stated(60, 'arrive', { unit: 'U1', station: 'S1' }), stated(180, 'arrive', { unit: 'U1', station: 'S2' })]));
    await house.app.actions.minutesTold(code);
    const late = stated(120, 'finish', { unit: 'U1', station: 'S1' });
    const after = Array.from({ length: 5_100 }, (_, n) => stated(200 + n, 'arrive', { unit: `N${n}`, station: 'S1' }));
    await house.app.actions.recordFacts(code, wire([late]));
    await house.app.actions.recordFacts(code, wire(after));
    await house.app.actions.minutesTold(code);
    const { finished } = await house.db.selectFrom('visits').where('plant', '=', code).where('unit', '=', 'U1').where('station', '=', 'S1').select('finished').executeTakeFirstOrThrow();
    expect(finished).toBe(late.happened);
    expect((await rebuildDerived(house.db, code)).identical).toBe(true);
  }, 120_000);
});
