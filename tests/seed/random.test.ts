import { describe, expect, it } from 'vitest';
import { chanceFrom } from '../../seed/random.ts';

const draws = (n: number, draw: () => number): number[] => Array.from({ length: n }, draw);
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

describe('chanceFrom', () => {
  it('gives the same draws for the same seed and others for another', () => {
    const [a, b, c] = [chanceFrom(7), chanceFrom(7), chanceFrom(8)];
    expect(draws(50, a.next)).toEqual(draws(50, b.next));
    expect(draws(50, chanceFrom(7).next)).not.toEqual(draws(50, c.next));
  });

  it('draws around the means it is asked for', () => {
    // Standard error of the mean of 20,000 draws: 0.002, 0.07 and 0.0008; the bounds are five of them.
    const chance = chanceFrom(1);
    expect(Math.abs(mean(draws(20_000, chance.next)) - 0.5)).toBeLessThan(0.0102);
    expect(Math.abs(mean(draws(20_000, () => chance.exponential(10))) - 10)).toBeLessThan(0.36);
    expect(Math.abs(mean(draws(20_000, () => chance.aroundOne(0.11))) - 1)).toBeLessThan(0.0039);
  });

  it('says so when there is nothing to pick from', () => {
    expect(() => chanceFrom(1).pick([])).toThrow('pick from an empty list');
  });
});
