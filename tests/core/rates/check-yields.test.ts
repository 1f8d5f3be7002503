import fc from 'fast-check';
import { expect, it } from 'vitest';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { checkYields } from '../../../server/core/rates/check-yields.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { qualityPlant } from '../../support/given-quality.ts';

const setups = setupOf(qualityPlant());
const CHECKS = ['LABEL', 'FINAL'];
/** A unit with attempts at its checks: minute, check, passed. */
const unit = (name: string, ...attempts: [number, string, boolean][]) => foldUnit(name, [
  registered(name), ...attempts.map(([m, check, value]) => at(m, 'checkResult', { unit: name, check, version: 1, results: [{ item: 'one', value, judged: null }] })),
], setups).state;
const told = (units: ReturnType<typeof unit>[], from = 0, to = 100) => checkYields(units, CHECKS, minute(from), minute(to));

// The product 0.97 x 0.94 = 0.9118 is the worked case of tests/published/yields.json.
it('gives first-pass yields, their product and defects per unit', () => {
  const units = Array.from({ length: 100 }, (_, i) => unit(`U${i}`, [1, 'LABEL', i >= 3], [2, 'LABEL', true], [3, 'FINAL', i < 94]));
  expect(told(units).checks.map(({ checked, passedAtFirst }) => [checked, passedAtFirst])).toEqual([[100, 97], [100, 94]]);
  expect(told(units).rolledThroughputYield).toBeCloseTo(0.9118, 12);
  expect(told(units).defectsPerUnit).toBeCloseTo(0.09, 12);
});

it('counts a unit in the period of its first attempt, however it ended later', () => {
  const units = [unit('A', [10, 'LABEL', false], [60, 'LABEL', true])];
  expect(told(units, 0, 50).checks[0]).toMatchObject({ checked: 1, firstPassYield: 0 });
  expect(told(units, 50, 100).checks[0]).toMatchObject({ checked: 0, firstPassYield: null });
  expect(told(units, 50, 100)).toMatchObject({ rolledThroughputYield: null, defectsPerUnit: null });
});

it('lies between none and all, and counts each unit once for a check', () => {
  const attempts = fc.array(fc.tuple(fc.nat(99), fc.constantFrom('LABEL', 'FINAL'), fc.boolean()), { maxLength: 6 });
  fc.assert(fc.property(fc.array(attempts, { maxLength: 6 }), (drawn) => {
    const { checks, rolledThroughputYield } = told(drawn.map((own, i) => unit(`U${i}`, ...(own as [number, string, boolean][]))));
    for (const [i, row] of checks.entries()) {
      expect(row.checked).toBe(drawn.filter((own) => own.some(([, check]) => check === CHECKS[i])).length);
      if (row.firstPassYield !== null) expect(row.firstPassYield).toBeLessThanOrEqual(1);
    }
    if (rolledThroughputYield !== null) expect(rolledThroughputYield).toBeCloseTo(checks.reduce((product, row) => product * row.firstPassYield!, 1), 12);
  }));
});
