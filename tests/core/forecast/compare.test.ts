import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compare } from '../../../server/core/forecast/compare.ts';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { constantTable, drawTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastInput } from '../../../server/core/forecast/forecast-input.ts';
import { run } from '../../../server/core/forecast/run.ts';
import { shareBy, summarize } from '../../../server/core/forecast/summary.ts';
import { arbitraryLine } from '../../support/arbitrary-line.ts';
import { exponentialTable, forecastInput, forecastStage, forecastStation, forecastUnit, mean, runsOf, standardDeviation, working } from '../../support/given-forecast.ts';

const MINUTE = 60_000;
const RATIOS = drawTable([0.6, 0.8, 1, 1.3, 1.9]);

describe('the summary of a unit', () => {
  it('has the percentiles and the probability of an exponential time', () => {
    // Work of mean 100 minutes: the p-quantile is -100 ln(1 - p); the share above 150 is e^-1.5.
    const input = forecastInput([forecastStation('S1', { draws: working(exponentialTable()) })], [forecastUnit('U1', { S1: 100 }, { promise: 1_000_000_000 + 150 * MINUTE })], { at: 1_000_000_000 });
    const compiled = compileLine(input);
    const found = run(compiled, 7, 40_000);
    const [unit] = summarize(compiled, found);
    for (const [level, instant] of [[0.1, unit!.p10], [0.5, unit!.p50], [0.8, unit!.p80], [0.9, unit!.p90]] as const) {
      const minutes = (instant - 1_000_000_000) / MINUTE;
      // The standard error of a sample quantile is sqrt(p (1 - p) / n) over the density there.
      const error = Math.sqrt((level * (1 - level)) / 40_000) / ((1 - level) / 100);
      expect(Math.abs(minutes + 100 * Math.log(1 - level))).toBeLessThan(4.5 * error);
    }
    expect(Math.abs(unit!.missing! - Math.exp(-1.5))).toBeLessThan(4.5 * Math.sqrt((Math.exp(-1.5) * (1 - Math.exp(-1.5))) / 40_000));
    expect(shareBy(found, 0, 150)).toBeCloseTo(1 - unit!.missing!, 12);
  });

  it('has instants in order, whole milliseconds, and no probability without a promise', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), (input) => {
      const compiled = compileLine({ ...input, at: 1_700_000_000_000 });
      for (const { p10, p50, p80, p90, missing } of summarize(compiled, run(compiled, 1, 90))) {
        expect([p10, p50, p80, p90]).toEqual([p10, p50, p80, p90].sort((a, b) => a - b));
        expect(Number.isInteger(p10)).toBe(true);
        expect(p10).toBeGreaterThanOrEqual(1_700_000_000_000);
        expect(missing).toBeNull();
      }
    }), { numRuns: 30 });
  });

  it('is in time when ready at the very promise, late a moment after', () => {
    const at = (promise: number): number => {
      const compiled = compileLine(forecastInput([forecastStation('S1')], [forecastUnit('U1', { S1: 30 }, { promise })]));
      return summarize(compiled, run(compiled, 1, 10))[0]!.missing!;
    };
    expect([at(30 * MINUTE), at(30 * MINUTE - 1), at(-1)]).toEqual([0, 1, 1]);
  });

  it('says Infinity where a calendar has no time ahead', () => {
    const closed = { from: new Float64Array(0), length: new Float64Array(0), before: new Float64Array(0), byWork: new Int32Array(1), byWall: new Int32Array(1) };
    const compiled = compileLine(forecastInput([forecastStation('S1')], [forecastUnit('U1', { S1: 30 }, { promise: 9e15 })], { calendar: closed }));
    expect(summarize(compiled, run(compiled, 1, 10))).toEqual([{ unit: 'U1', p10: Infinity, p50: Infinity, p80: Infinity, p90: Infinity, missing: 1 }]);
  });
});

describe('a comparison', () => {
  const line = (order: string[], capacity = 1): ForecastInput => forecastInput(
    [forecastStation('S1', { draws: working(RATIOS) }), forecastStation('S2', { capacity, draws: working(RATIOS) }), forecastStation('S3', { draws: working(RATIOS) })],
    order.map((unit, i) => forecastUnit(unit, { S1: 30, S2: 50, S3: 30 }, { plannedRelease: i * 20, promise: 300 * MINUTE })), { stages: [forecastStage('PDI', { capacity: 1, minutes: drawTable([10, 20, 40]) })] },
  );
  const ORDER = ['A', 'B', 'C', 'D', 'E'];

  it('of a line with itself finds no change at all', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), fc.integer(), (input, seed) => {
      const compiled = compileLine(input);
      for (const change of compare(compiled, compileLine(input), seed, 50)) expect(change).toMatchObject({ mean: 0, p10: 0, p90: 0, missing: null });
    }), { numRuns: 30 });
  });

  it('leaves the units alone that the change does not reach', () => {
    const changes = compare(compileLine(line(ORDER)), compileLine(line(['A', 'B', 'C', 'E', 'D'])), 1, 400);
    expect(changes.slice(0, 2).map(({ unit, mean: change, p10, p90 }) => [unit, change, p10, p90])).toEqual([['A', 0, 0, 0], ['B', 0, 0, 0]]);
    const byUnit = Object.fromEntries(changes.map((change) => [change.unit, change]));
    expect(byUnit.E!.mean).toBeLessThan(0);
    expect(byUnit.D!.mean).toBeGreaterThan(0);
    expect(byUnit.D!.missing).toBeGreaterThanOrEqual(0);
  });

  it('keeps each unit\'s draws when the sequence changes: alone on the line they are the same minutes', () => {
    // Without limits a unit's time is its own draws and nothing else.
    const free = (order: string[]): ForecastInput => ({ ...line(order), stations: line(order).stations.map((station) => ({ ...station, capacity: null })), stages: [], units: line(order).units.map((unit) => ({ ...unit, plannedRelease: 0 })) });
    const [first, second] = [run(compileLine(free(ORDER)), 5, 200), run(compileLine(free(['E', 'C', 'A', 'B', 'D'])), 5, 200)];
    for (const unit of ORDER) expect(runsOf(second, unit)).toEqual(runsOf(first, unit));
  });

  it('spreads less, by a quarter at least, than two forecasts with draws of their own', () => {
    const [before, after] = [compileLine(line(ORDER)), compileLine(line(ORDER, 2))];
    const last = (seed: number, compiled = after): number[] => runsOf(run(compiled, seed, 600), 'E', 'ready');
    const common = last(1).map((ready, r) => ready - last(1, before)[r]!);
    const apart = last(2).map((ready, r) => ready - last(1, before)[r]!);
    expect(standardDeviation(common)).toBeLessThan(0.75 * standardDeviation(apart));
    const change = compare(before, after, 1, 600).at(-1)!;
    expect(change.mean).toBeCloseTo(mean(common), 9);
    expect(change.p10).toBeLessThanOrEqual(change.p90);
  });

  it('says by how much the probability of missing the promise changes, and what it was', () => {
    const [before, after] = [compileLine(line(ORDER)), compileLine(line(ORDER, 2))];
    for (const { before: was, after: is, missing } of compare(before, after, 1, 500)) {
      expect(missing).toBeCloseTo(is.missing! - was.missing!, 12);
      expect(missing).toBeLessThanOrEqual(0);
    }
  });

  it('leaves out units that are on one side only, and has no probability where one side has no promise', () => {
    const after = line(['A', 'B', 'X']);
    after.units[1] = { ...after.units[1]!, promise: null };
    const changes = compare(compileLine(line(ORDER)), compileLine(after), 1, 50);
    expect(changes.map(({ unit }) => unit)).toEqual(['A', 'B']);
    expect(changes[1]!.missing).toBeNull();
  });

  it('of two lines that never end finds none', () => {
    const closed = { from: new Float64Array(0), length: new Float64Array(0), before: new Float64Array(0), byWork: new Int32Array(1), byWall: new Int32Array(1) };
    const compiled = compileLine({ ...line(['A']), calendar: closed, stages: [forecastStage('PDI', { minutes: constantTable(1) })] });
    expect(compare(compiled, compiled, 1, 20)[0]).toMatchObject({ mean: 0, p10: 0, p90: 0 });
  });
});

describe('what is handed over', () => {
  it('are flat arrays that another thread can be given: compiled line and results', () => {
    const compiled = compileLine(forecastInput([forecastStation('S1', { draws: working(RATIOS) })], [forecastUnit('U1', { S1: 30 })], { stages: [forecastStage('PDI'), forecastStage('PICK-UP', { ready: false })] }));
    const sent = structuredClone(compiled);
    const found = run(sent, 4, 700);
    expect(found).toEqual(run(compiled, 4, 700));
    const buffers = [found.exit.buffer, found.ready.buffer, found.pickedUp!.buffer];
    const received = structuredClone(found, { transfer: buffers });
    expect(received.ready.length).toBe(700);
    expect(found.ready.length).toBe(0);
  });
});
