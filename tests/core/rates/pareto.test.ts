import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { paretoOrder } from '../../../server/core/rates/pareto.ts';

const { pareto } = JSON.parse(readFileSync(new URL('../../published/control-charts.json', import.meta.url), 'utf8')) as
  { pareto: { counts: Record<string, number>; cumulative: number[]; vital: string[] } };

describe('paretoOrder', () => {
  it('orders the worked counts, the boundary of 80 of 100 met exactly', () => {
    const items = Object.entries(pareto.counts).map(([label, amount]) => ({ label, amount }));
    const rows = paretoOrder([...items].reverse());
    expect(rows.map(({ label }) => label)).toEqual(['A', 'B', 'C', 'D', 'E', 'F']);
    rows.forEach(({ cumulative }, i) => expect(cumulative).toBeCloseTo(pareto.cumulative[i]!, 12));
    expect(rows.filter(({ vital }) => vital).map(({ label }) => label)).toEqual(pareto.vital);
  });

  it('keeps what an item carries', () => {
    expect(paretoOrder([{ label: 'a', amount: 1, visits: ['v1'] }])).toEqual([{ label: 'a', amount: 1, visits: ['v1'], share: 1, cumulative: 1, vital: true }]);
  });

  it('says nothing of nothing', () => {
    expect(paretoOrder([])).toEqual([]);
    expect(paretoOrder([{ label: 'a', amount: 0 }])).toEqual([{ label: 'a', amount: 0, share: 0, cumulative: 0, vital: false }]);
  });

  it('never rises, adds up to the whole, and its vital ones are the fewest that reach the boundary', () => {
    fc.assert(fc.property(fc.array(fc.integer({ min: 1, max: 50 }), { minLength: 1, maxLength: 15 }), (amounts) => {
      const rows = paretoOrder(amounts.map((amount, i) => ({ label: `c${i}`, amount })));
      rows.slice(1).forEach((row, i) => expect(row.amount).toBeLessThanOrEqual(rows[i]!.amount));
      expect(rows.at(-1)!.cumulative).toBeCloseTo(1, 9);
      const whole = amounts.reduce((sum, amount) => sum + amount, 0);
      let sum = 0;
      let fewest = 0;
      // Whole numbers: 5 × the sum against 4 × the whole.
      while (5 * sum < 4 * whole) sum += rows[fewest++]!.amount;
      expect(rows.filter(({ vital }) => vital)).toHaveLength(fewest);
    }));
  });
});
