import { describe, expect, it } from 'vitest';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { run } from '../../../server/core/forecast/run.ts';
import deterministic from '../../published/lines-deterministic.json';
import exponential from '../../published/lines-exponential.json';
import passage from '../../published/lines-first-passage.json';
import { exponentialTable, firstRun, mean, runsOf, serialLine, standardDeviation, working } from '../../support/given-forecast.ts';

const EXPONENTIAL = working(exponentialTable());
const same = (rates: readonly (number | string)[], units: number): number[][] => Array.from({ length: units }, () => rates.map((rate) => 1 / Number(rate)));

describe('a line with known times', () => {
  // tests/published/lines-deterministic.json: the max-plus recursion with blocking after service, checked there against an event simulation.
  it.each(deterministic.cases)('lets the units of $id out when the published recursion does', ({ buffers, process, exit }) => {
    const found = run(compileLine(serialLine(buffers, process)), 1, 3);
    expect(Object.values(firstRun(found))).toEqual(exit);
    for (let u = 0; u < exit.length; u++) expect(runsOf(found, `U${u + 1}`)).toEqual([exit[u], exit[u], exit[u]]);
  });
});

describe('a saturated line with exponential times', () => {
  // Hunt, Sequential arrays of waiting lines, Oper. Res. 4 (1956) 674-683: 2/3, 22/39, 0.5148; the others derived (see the file).
  const [WARM, LONG, RUNS] = [400, 800, 512];
  it.each(exponential)('of case $id works at its published rate ($exact)', ({ rates, buffers, throughput }) => {
    const found = run(compileLine(serialLine(buffers, same(rates, WARM + LONG), EXPONENTIAL)), 1956, RUNS);
    const from = runsOf(found, `U${WARM}`);
    const rate = runsOf(found, `U${WARM + LONG}`).map((exit, r) => LONG / (exit - from[r]!));
    // Four standard errors, and the bias of a ratio over a stretch that begins with a leave, which falls with its length.
    const allowed = (4 * standardDeviation(rate)) / Math.sqrt(RUNS) + throughput / LONG;
    expect(Math.abs(mean(rate) - throughput)).toBeLessThan(allowed);
    expect(allowed).toBeLessThan(0.006);
  });

  it('keeps its rate when it is turned round, and loses some with each place taken away', () => {
    const rate = (id: string): number => {
      const { rates, buffers } = exponential.find((line) => line.id === id)!;
      const found = run(compileLine(serialLine(buffers, same(rates, 600), EXPONENTIAL)), 7, 64);
      return 600 / mean(runsOf(found, 'U600'));
    };
    expect(rate('E12')).toBeCloseTo(rate('E13'), 1);
    expect(rate('E16')).toBeCloseTo(rate('E17'), 1);
    expect(rate('E9')).toBeGreaterThan(rate('E8'));
    expect(rate('E8')).toBeGreaterThan(rate('E1'));
  });
});

describe('the exit of the n-th unit from a line that was empty', () => {
  const RUNS = 40_000;
  // tests/published/lines-first-passage.json: exact moments of the Markov chain; quantiles by matrix exponential.
  it.each(passage.cases)('of case $id has the published mean, spread and quantiles', ({ rates, buffers, meanSd, quantiles }) => {
    const found = run(compileLine(serialLine(buffers, same(rates, 20), EXPONENTIAL)), 42, RUNS);
    for (const { n, mean: expected, sd } of meanSd) {
      const exits = runsOf(found, `U${n}`);
      expect(Math.abs(mean(exits) - expected)).toBeLessThan((4.5 * sd) / Math.sqrt(RUNS));
      // The standard error of a standard deviation is at most sd * sqrt((kurtosis - 1) / 4n); the kurtosis of these sums is below 9.
      expect(Math.abs(standardDeviation(exits) - sd)).toBeLessThan(4.5 * sd * Math.sqrt(2 / RUNS));
    }
    for (const [n, byLevel] of Object.entries(quantiles)) {
      const exits = runsOf(found, `U${n}`).sort((a, b) => a - b);
      for (const [level, value] of Object.entries(byLevel)) {
        // The share of runs at or below the published quantile is binomial around the level.
        const share = exits.filter((exit) => exit <= value).length / RUNS;
        expect(Math.abs(share - Number(level))).toBeLessThan(4.5 * Math.sqrt((Number(level) * (1 - Number(level))) / RUNS) + 0.0005);
      }
    }
  });
});
