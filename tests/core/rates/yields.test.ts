import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { defectsPerMillion, defectsPerUnit, firstPassYield, rolledThroughputYield, throughputYield } from '../../../server/core/rates/yields.ts';

interface Published {
  elements: { IP: number; GP: number }; fpy: number;
  rty: {
    dpu: number[]; throughputYields: number[]; RTY: number; stepFPY: number[]; RTY2: number;
    counts: { units: number; defects: number[]; dpu: number[]; poissonRTY: number; binomialRTY: number };
    DPMO: { defects: number; units: number; opportunities: number; value: number };
  };
}
const { elements, fpy, rty } = JSON.parse(readFileSync(new URL('../../published/yields.json', import.meta.url), 'utf8')) as Published;

describe('yields', () => {
  it('are those published', () => {
    expect(firstPassYield(elements.GP, elements.IP)).toBeCloseTo(fpy, 9);
    rty.dpu.forEach((perUnit, i) => expect(throughputYield(perUnit)).toBeCloseTo(rty.throughputYields[i]!, 9));
    expect(rolledThroughputYield(rty.dpu.map(throughputYield))).toBeCloseTo(rty.RTY, 9);
    expect(rolledThroughputYield(rty.stepFPY)).toBeCloseTo(rty.RTY2, 9);
  });

  it('of one hundred units with 13, 7 and 5 defects differ by whether a unit can have two', () => {
    const { units, defects, dpu, poissonRTY, binomialRTY } = rty.counts;
    expect(defects.map((found) => defectsPerUnit(found, units))).toEqual(dpu);
    expect(rolledThroughputYield(dpu.map(throughputYield))).toBeCloseTo(poissonRTY, 9);
    expect(rolledThroughputYield(defects.map((found) => firstPassYield(units - found, units)))).toBeCloseTo(binomialRTY, 9);
  });

  it('count defects for a million chances', () => {
    const { defects, units, opportunities, value } = rty.DPMO;
    expect(defectsPerMillion(defects, units, opportunities)).toBeCloseTo(value, 6);
  });

  it('are unknown, not 0, where nothing was checked', () => {
    expect(firstPassYield(0, 0)).toBeNull();
    expect(defectsPerUnit(0, 0)).toBeNull();
    expect(defectsPerMillion(0, 5, 0)).toBeNull();
    expect(rolledThroughputYield([])).toBeNull();
    expect(rolledThroughputYield([0.9, null, 0])).toBeNull();
  });

  it('over a route is never above its worst check', () => {
    fc.assert(fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 8 }), (yields) => {
      expect(rolledThroughputYield(yields)!).toBeLessThanOrEqual(Math.min(...yields) + 1e-12);
    }));
  });
});
