import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { distributionOf, quantile, quantileOfSorted, type QuantileType } from '../../../server/core/rates/quantiles.ts';

interface Published { source: string; tolerance: number; sets: Record<string, { data: number[]; types: Record<string, Record<string, number>> }> }
const published = JSON.parse(readFileSync(new URL('../../published/quantiles.json', import.meta.url), 'utf8')) as Published;
const TYPES: QuantileType[] = [1, 2, 3, 4, 5, 6, 7, 8, 9];

const someValues = fc.array(fc.integer({ min: 0, max: 500 }), { minLength: 1, maxLength: 40 });
const order = fc.integer({ min: 0, max: 1_000 }).map((thousandths) => thousandths / 1_000);

/**
 * Slow oracle in whole numbers, for orders in thousandths: position × 24,000 is exact, so that "is it a whole number" is no question of
 * rounding. Written from the paper's table, apart from the program.
 */
function oracle(values: number[], thousandths: number, type: QuantileType): number {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  const unit = 24_000;
  const np = n * thousandths * 24;
  const m = { 1: 0, 2: 0, 3: -12_000, 4: 0, 5: 12_000, 6: thousandths * 24, 7: unit - thousandths * 24, 8: thousandths * 8 + 8_000, 9: thousandths * 6 + 9_000 }[type];
  const j = Math.floor((np + m) / unit);
  const rest = np + m - j * unit;
  const x = (i: number): number => sorted[Math.max(0, Math.min(n - 1, i - 1))]!;
  if (type === 1) return rest > 0 ? x(j + 1) : x(j);
  if (type === 2) return rest > 0 ? x(j + 1) : (x(j) + x(j + 1)) / 2;
  if (type === 3) return rest === 0 && Math.abs(j) % 2 === 0 ? x(j) : x(j + 1);
  return ((unit - rest) * x(j) + rest * x(j + 1)) / unit;
}

describe('quantileOfSorted', () => {
  it('is the quantile of the same values, and does not trip over Infinity', () => {
    fc.assert(fc.property(someValues, order, (values, p) => {
      const sorted = Float64Array.from(values).sort();
      expect(quantileOfSorted(sorted, p)).toBe(quantile(values, p));
    }));
    expect(quantileOfSorted([1, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY], 0.9)).toBe(Number.POSITIVE_INFINITY);
    expect(quantileOfSorted([1, 2, Number.POSITIVE_INFINITY], 0.5)).toBe(2);
  });
});

describe('quantile', () => {
  // Source: tests/published/quantiles.json names it; tolerance as published.
  for (const [set, { data, types }] of Object.entries(published.sets)) {
    for (const type of TYPES) {
      it(`of type ${type} gives what is published for ${set}`, () => {
        for (const [p, expected] of Object.entries(types[type]!)) expect(Math.abs(quantile(data, Number(p), type) - expected), `p ${p}`).toBeLessThanOrEqual(published.tolerance);
      });
    }
  }

  it('is what the paper says in whole numbers, for every type', () => {
    fc.assert(fc.property(someValues, fc.integer({ min: 0, max: 1_000 }), fc.constantFrom(...TYPES), (values, thousandths, type) => {
      expect(quantile(values, thousandths / 1_000, type)).toBeCloseTo(oracle(values, thousandths, type), 9);
    }), { numRuns: 5_000 });
  });

  it('never falls as its order rises, and lies between the smallest and the largest value', () => {
    fc.assert(fc.property(someValues, order, order, fc.constantFrom(...TYPES), (values, a, b, type) => {
      const [low, high] = [quantile(values, Math.min(a, b), type), quantile(values, Math.max(a, b), type)];
      expect(low).toBeLessThanOrEqual(high + 1e-9);
      expect(low).toBeGreaterThanOrEqual(Math.min(...values));
      expect(high).toBeLessThanOrEqual(Math.max(...values));
    }));
  });

  it('makes no difference between orders of the values, and moves with them', () => {
    fc.assert(fc.property(someValues, order, fc.integer({ min: -50, max: 50 }), (values, p, shift) => {
      expect(quantile([...values].reverse(), p)).toBe(quantile(values, p));
      expect(quantile(values.map((value) => value + shift), p)).toBeCloseTo(quantile(values, p) + shift, 9);
    }));
  });

  it('refuses no values, and an order that is none', () => {
    expect(() => quantile([], 0.5)).toThrow(RangeError);
    expect(() => quantile([1], 1.1)).toThrow(RangeError);
    expect(() => quantile([1], Number.NaN)).toThrow(RangeError);
  });
});

describe('distributionOf', () => {
  it('tells eleven dwells', () => {
    const { data } = published.sets['dwell11']!;
    // Percentiles: published, type 7. Sum and mean: by hand.
    expect(distributionOf([...data].reverse())).toEqual({ count: 11, sum: 647, mean: 647 / 11, min: 41, p10: 44, p25: 47.5, p50: 52, p75: 60.5, p90: 71, max: 118 });
  });

  it('of one value is that value throughout; of none there is none', () => {
    expect(distributionOf([7])).toEqual({ count: 1, sum: 7, mean: 7, min: 7, p10: 7, p25: 7, p50: 7, p75: 7, p90: 7, max: 7 });
    expect(distributionOf([])).toBeNull();
  });
});
