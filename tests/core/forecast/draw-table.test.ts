import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { constantTable, drawTable, residualTable, tableBits } from '../../../server/core/forecast/draw-table.ts';
import { exponentialTable, mean } from '../../support/given-forecast.ts';

const values = fc.array(fc.double({ min: 0, max: 1_000, noNaN: true }), { minLength: 1, maxLength: 60 });
const countOf = (table: Float64Array, value: number): number => table.filter((entry) => entry === value).length;

describe('drawTable', () => {
  it('holds each of a few values equally often', () => {
    const table = drawTable([3, 1, 2, 4], undefined, 8);
    expect([1, 2, 3, 4].map((value) => countOf(table, value))).toEqual([64, 64, 64, 64]);
    expect(tableBits(table)).toBe(8);
  });

  it('gives values entries by their weight', () => {
    const table = drawTable([10, 20, 30], [1, 2, 5], 8);
    expect([10, 20, 30].map((value) => countOf(table, value))).toEqual([32, 64, 160]);
  });

  it('rises, and holds nothing but the values', () => {
    fc.assert(fc.property(values, (drawn) => {
      const table = drawTable(drawn);
      expect([...table]).toEqual([...table].sort((a, b) => a - b));
      const known = new Set(drawn);
      expect(table.every((entry) => known.has(entry))).toBe(true);
    }));
  });

  it('never is more than one entry from the right share of any value', () => {
    fc.assert(fc.property(fc.array(fc.record({ value: fc.nat(20), weight: fc.integer({ min: 1, max: 9 }) }), { minLength: 1, maxLength: 30 }), (drawn) => {
      const table = drawTable(drawn.map(({ value }) => value), drawn.map(({ weight }) => weight));
      const total = drawn.reduce((sum, { weight }) => sum + weight, 0);
      for (let value = 0; value <= 20; value++) {
        const wanted = (drawn.reduce((sum, one) => sum + (one.value === value ? one.weight : 0), 0) / total) * table.length;
        expect(Math.abs(countOf(table, value) - wanted)).toBeLessThanOrEqual(1);
      }
    }));
  });

  it('has the mean of the values, to within a step of the table', () => {
    fc.assert(fc.property(values, (drawn) => {
      const spread = Math.max(...drawn) - Math.min(...drawn);
      expect(Math.abs(mean([...drawTable(drawn)]) - mean(drawn))).toBeLessThanOrEqual((spread * drawn.length) / 512 + 1e-9);
    }));
  });
});

describe('constantTable', () => {
  it('is always the same value', () => {
    expect([...constantTable(7)]).toEqual([7, 7]);
    expect(tableBits(constantTable(7))).toBe(1);
  });
});

describe('residualTable', () => {
  it('takes those that lasted at least as long, less what has passed', () => {
    expect([...new Set(residualTable([10, 30, 60, 90], 30))]).toEqual([0, 30, 60]);
    expect([...new Set(residualTable([10, 30, 60, 90], 0))]).toEqual([10, 30, 60, 90]);
  });

  it('of what outlasted them all lasts as far again as it has outlasted the longest', () => {
    expect([...new Set(residualTable([10, 30], 50))]).toEqual([20]);
    expect([...new Set(residualTable([], 50))]).toEqual([50]);
    expect([...new Set(residualTable([], 0))]).toEqual([0]);
  });

  it('of exponential minutes is exponential again, however long they have lasted', () => {
    // The exponential distribution has no memory: the mean left is 1 after any time; the table ends at 2^-14, so that the tail beyond 5 is coarse.
    for (const elapsed of [0, 0.5, 1, 3]) expect(mean([...residualTable([...exponentialTable()], elapsed)])).toBeCloseTo(1, 1);
  });

  it('never is less than nothing, nor more than the longest has left', () => {
    fc.assert(fc.property(values, fc.double({ min: 0, max: 2_000, noNaN: true }), (durations, elapsed) => {
      const left = [...residualTable(durations, elapsed)];
      expect(Math.min(...left)).toBeGreaterThanOrEqual(0);
      expect(Math.max(...left)).toBeLessThanOrEqual(Math.abs(Math.max(...durations) - elapsed));
    }));
  });
});
