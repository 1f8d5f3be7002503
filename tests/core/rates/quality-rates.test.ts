import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { qualityRates } from '../../../server/core/rates/quality-rates.ts';
import { at, registered, setupOf } from '../../support/given.ts';
import { aCheck, qualityPlant, yesNo } from '../../support/given-quality.ts';

const plant = qualityPlant({ checks: [aCheck('LEAK', 'B', { items: [yesNo('dry', 'wall')] }), aCheck('FINAL', 'C')] });
const DAY = 1_440;
/** Minute 0 is Monday 2026-06-01, of week 23 by ISO 8601. */
const check = (unit: string, day: number, code: string, item: string, value: boolean) => at(day * DAY + 60, 'checkResult', { unit, check: code, version: 1, results: [{ item, value, judged: null }] });
const found = (unit: string, day: number, what: string, zone: string | null, belongsTo: string | null) => at(day * DAY + 30, 'findWork', { unit, what, zone, severity: 'minor', belongsTo });
const fold = (unit: string, ...facts: Fact[]) => foldUnit(unit, [registered(unit), ...facts], setupOf(plant)).state;

describe('rates of quality', () => {
  const units = [
    fold('U1', check('U1', 0, 'LEAK', 'dry', true), check('U1', 1, 'FINAL', 'one', true)),
    fold('U2', check('U2', 0, 'LEAK', 'dry', false), check('U2', 1, 'LEAK', 'dry', true), check('U2', 1, 'FINAL', 'one', true), found('U2', 0, 'Scratch', null, 'C')),
    fold('U3', check('U3', 8, 'LEAK', 'dry', true), found('U3', 8, 'Scratch', 'roof', 'C')),
    fold('U4', found('U4', 30, 'Scratch', 'wall', 'A')),
  ];
  const told = qualityRates(units, plant, '2026-06-01', '2026-06-14');

  it('count first attempts and defects of the days, both included', () => {
    expect(told.checks).toMatchObject([{ check: 'LEAK', checked: 3, passedAtFirst: 2 }, { check: 'FINAL', checked: 2, passedAtFirst: 2 }]);
    expect(told.rolledThroughputYield).toBeCloseTo(2 / 3, 12);
    expect(told.defectsPerUnit).toBeCloseTo(3 / 3, 12);
    expect(qualityRates(units, plant, '2026-06-02', '2026-06-02').checks).toMatchObject([{ check: 'LEAK', checked: 0, firstPassYield: null }, { check: 'FINAL', checked: 2 }]);
  });

  // u chart (Montgomery): centre = all defects ÷ all units, limits three times the root of centre ÷ units of the week.
  it('have a u chart by week, with limits by the units of each', () => {
    expect(told.weeks.map(({ week, defects, units: n }) => [week, defects, n])).toEqual([['2026-W23', 2, 2], ['2026-W24', 1, 1]]);
    expect(told.weeks[0]!.point).toMatchObject({ value: 1, centre: 1, lower: 0, outside: false });
    expect(told.weeks[0]!.point!.upper).toBeCloseTo(1 + 3 * Math.sqrt(1 / 2), 12);
    expect(told.weeks[1]!.point!.upper).toBeCloseTo(4, 12);
  });

  it('have no point in a week in which nothing was checked', () => {
    expect(qualityRates(units, plant, '2026-06-01', '2026-06-21').weeks.map(({ point }) => point !== null)).toEqual([true, true, false]);
  });

  it('tell what was found most, by station, zone and kind', () => {
    expect(told.byStation).toMatchObject([{ label: 'C', amount: 2, vital: true }, { label: 'B', amount: 1 }]);
    expect(told.byKind.map(({ label, amount }) => [label, amount])).toEqual([['Scratch', 2], ['Is dry right?', 1]]);
    expect(told.byZone.map(({ label, amount }) => [label, amount])).toEqual([['', 1], ['roof', 1], ['wall', 1]]);
  });

  it('count every defect once in each Pareto and in one week', () => {
    fc.assert(fc.property(fc.array(fc.record({ day: fc.nat(40), what: fc.constantFrom('A', 'B', 'C'), zone: fc.constantFrom('wall', 'roof', null) }), { maxLength: 20 }), (all) => {
      const some = all.map(({ day, what, zone }, i) => fold(`V${i}`, found(`V${i}`, day, what, zone, 'A'), check(`V${i}`, day, 'LEAK', 'dry', true)));
      const rates = qualityRates(some, plant, '2026-06-01', '2026-06-28');
      const within = all.filter(({ day }) => day < 28).length;
      for (const bars of [rates.byZone, rates.byStation, rates.byKind]) expect(bars.reduce((sum, { amount }) => sum + amount, 0)).toBe(within);
      expect(rates.weeks.reduce((sum, { defects }) => sum + defects, 0)).toBe(within);
    }), { numRuns: 40 });
  });
});
