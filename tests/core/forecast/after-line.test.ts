import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { constantTable, type DrawTable, drawTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastInput, ForecastStage } from '../../../server/core/forecast/forecast-input.ts';
import { type ForecastRuns, run } from '../../../server/core/forecast/run.ts';
import { normalShare } from '../../../server/core/forecast/score.ts';
import queues from '../../published/queues.json';
import { alwaysWorking, exactly, exponentialTable, firstRun, forecastInput, forecastStage, forecastStation, forecastUnit, mean, runsOf, standardDeviation, working } from '../../support/given-forecast.ts';

const go = (input: ForecastInput, seed = 1, runs = 1): ForecastRuns => run(compileLine(input), seed, runs);
/** A line of one station that lets a unit out every `minutes`. */
const every = (minutes: number, units: number, stages: ForecastStage[]): ForecastInput =>
  forecastInput([forecastStation('S1')], Array.from({ length: units }, (_, i) => forecastUnit(`U${i + 1}`, { S1: minutes })), { stages });

/** 2^12 equally likely values of a distribution with this inverse, each the value in the middle of its part. */
const inverse = (of: (level: number) => number): DrawTable => Float64Array.from({ length: 4_096 }, (_, i) => of((i + 0.5) / 4_096));
const withMean = (table: DrawTable): DrawTable => table.map((value) => value / mean([...table]));

describe('a stage after the line is a queue with servers', () => {
  // tests/published/queues.json: Pollaczek-Khinchine. Exponential work at a saturated station lets units out as a Poisson process.
  const services: Record<string, DrawTable> = {
    Q1: exponentialTable(), Q2: constantTable(1), Q5: exponentialTable(), Q6: constantTable(1), Q11: inverse((level) => 2 * level),
    Q3: withMean(inverse((level) => quantile(erlangShare(2), level, 0, 20))), Q4: withMean(inverse((level) => quantile(erlangShare(4), level, 0, 20))),
    Q9: withMean(inverse((level) => Math.exp(0.5 * quantile(normalShare, level, -8, 8)))),
  };
  const [UNITS, RUNS, WARM] = [1_500, 512, 700];
  const cases = queues.pollaczekKhinchine.filter(({ id }) => id in services);

  it.each(cases)('$id, $model: units wait $Wq in the mean', ({ id, lam, Wq, ES }) => {
    const input = forecastInput([forecastStation('S1', { draws: working(exponentialTable()) })], Array.from({ length: UNITS }, (_, i) => forecastUnit(`U${i + 1}`, { S1: 1 / lam })), {
      stages: [forecastStage('INSPECTION', { capacity: 1, minutes: services[id]! })],
    });
    const found = go(input, 1930, RUNS);
    const waits = Array.from({ length: RUNS }, (_, r) => {
      let waited = 0;
      for (let u = WARM; u < UNITS; u++) waited += found.ready[u * RUNS + r]! - found.exit[u * RUNS + r]!;
      return waited / (UNITS - WARM) - ES;
    });
    // Four standard errors of 512 independent runs; the table of 2^12 to 2^14 values cuts the tail, 0.5 % at most.
    expect(Math.abs(mean(waits) - Wq)).toBeLessThan((4 * standardDeviation(waits)) / Math.sqrt(RUNS) + 0.005 * Wq);
  });

  it('keeps Little: units at the stage are the rate times the time at it', () => {
    const { lam, L } = queues.pollaczekKhinchine.find(({ id }) => id === 'Q1')!;
    const input = forecastInput([forecastStation('S1', { draws: working(exponentialTable()) })], Array.from({ length: UNITS }, (_, i) => forecastUnit(`U${i + 1}`, { S1: 1 / lam })), {
      stages: [forecastStage('INSPECTION', { capacity: 1, minutes: exponentialTable() })],
    });
    const found = go(input, 1961, RUNS);
    const [from, to] = [800, 1_400];
    const there = Array.from({ length: RUNS }, (_, r) => {
      let unitMinutes = 0;
      for (let u = 0; u < UNITS; u++) unitMinutes += Math.max(0, Math.min(to, found.ready[u * RUNS + r]!) - Math.max(from, found.exit[u * RUNS + r]!));
      return unitMinutes / (to - from);
    });
    expect(Math.abs(mean(there) - L)).toBeLessThan((4 * standardDeviation(there)) / Math.sqrt(RUNS) + 0.005 * L);
  });
});

/** Where `share` reaches `level`, by halving. */
function quantile(share: (x: number) => number, level: number, from: number, to: number): number {
  let [low, high] = [from, to];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (share(middle) < level) low = middle;
    else high = middle;
  }
  return low;
}

/** Share below x of the mean of `phases` exponential times of mean 1. */
function erlangShare(phases: number): (x: number) => number {
  return (x) => {
    let [term, sum] = [1, 1];
    for (let n = 1; n < phases; n++) sum += term *= (phases * x) / n;
    return 1 - Math.exp(-phases * x) * sum;
  };
}

describe('stages with known times', () => {
  it('serve units as they come, on as many servers as there are', () => {
    const one = firstRun(go(every(10, 4, [forecastStage('PDI', { capacity: 1, minutes: constantTable(25) })])), 'ready');
    const two = firstRun(go(every(10, 4, [forecastStage('PDI', { capacity: 2, minutes: constantTable(25) })])), 'ready');
    const many = firstRun(go(every(10, 4, [forecastStage('PDI', { capacity: null, minutes: constantTable(25) })])), 'ready');
    expect([one, two, many].map(Object.values)).toEqual([[35, 60, 85, 110], [35, 45, 60, 70], [35, 45, 55, 65]]);
  });

  it('let units pass one another in the yard: the one that is ready first is served first', () => {
    // Unit 1 is held from shipping inspection by touch-up of 100 minutes; the others are not, and are inspected before it.
    const touchUp = forecastStage('TOUCH', { probability: 0, mends: true, ready: false, minutes: constantTable(0) });
    const input = every(10, 3, [touchUp, forecastStage('PDI', { capacity: 1, minutes: constantTable(5) })]);
    input.units[0] = { ...input.units[0]!, openShorts: [constantTable(100)] };
    expect(firstRun(go(input), 'ready')).toEqual({ U1: 115, U2: 25, U3: 35 });
  });

  it('go on for units that are past the line: waiting, or with part of the work done', () => {
    const stages = [forecastStage('PDI', { capacity: 1, minutes: constantTable(30) }), forecastStage('PAPERS', { capacity: null, minutes: constantTable(4) })];
    const at = (unit: string, code: string, standing: boolean, worked: number) => forecastUnit(unit, {}, { stage: { code, standing, worked } });
    const input = forecastInput([forecastStation('S1')], [at('Y1', 'PDI', false, 0), at('Y2', 'PDI', true, 10), at('Y3', 'PAPERS', false, 0), forecastUnit('U1', { S1: 5 })], { stages });
    // Y2 stands at the inspection with 20 minutes left, then Y1, then U1.
    expect(firstRun(go(input), 'ready')).toEqual({ Y1: 54, Y2: 24, Y3: 4, U1: 84 });
  });

  it('tell being ready to ship apart from being picked up', () => {
    const input = every(10, 2, [forecastStage('RELEASE', { minutes: constantTable(3) }), forecastStage('PICK-UP', { capacity: 1, minutes: constantTable(60), ready: false })]);
    expect(firstRun(go(input), 'ready')).toEqual({ U1: 13, U2: 23 });
    expect(firstRun(go(input), 'pickedUp')).toEqual({ U1: 73, U2: 133 });
    expect(go(every(10, 2, [forecastStage('RELEASE')])).pickedUp).toBeNull();
  });

  it('work on calendars of their own', () => {
    const morning = { ...alwaysWorking(), from: Float64Array.of(100), length: Float64Array.of(1_000), before: Float64Array.of(0), byWork: Int32Array.of(0), byWall: Int32Array.of(0) };
    expect(firstRun(go(every(10, 1, [forecastStage('RELEASE', { calendar: morning, minutes: constantTable(3) })])), 'ready')).toEqual({ U1: 103 });
  });

  it('are passed by units that do not need them', () => {
    const input = every(10, 1, [forecastStage('RETEST', { probability: 0.3, minutes: constantTable(50) })]);
    const ready = runsOf(go(input, 5, 20_000), 'U1', 'ready');
    expect(new Set(ready)).toEqual(new Set([10, 60]));
    const share = ready.filter((minutes) => minutes === 60).length / 20_000;
    expect(Math.abs(share - 0.3)).toBeLessThan(4.5 * Math.sqrt((0.3 * 0.7) / 20_000));
  });

  it('cannot be where no stage is', () => {
    expect(() => compileLine(forecastInput([], [forecastUnit('Y1', {}, { stage: { code: 'NOWHERE', standing: false, worked: 0 } })]))).toThrow(/NOWHERE/);
    expect(() => compileLine(forecastInput([], [forecastUnit('U1', { NOWHERE: 5 })]))).toThrow(/NOWHERE/);
  });
});

describe('one stage, whatever comes to it', () => {
  it('serves the i-th to begin when a server is free, in the order in which they are ready', () => {
    const arrivals = fc.array(fc.integer({ min: 0, max: 200 }), { minLength: 1, maxLength: 12 });
    fc.assert(fc.property(arrivals, fc.integer({ min: 1, max: 4 }), fc.integer({ min: 1, max: 60 }), (releases, servers, minutes) => {
      // A station without limits, so that units come off the line in the order of their releases.
      const input = forecastInput([forecastStation('S1', { capacity: null, draws: exactly })], releases.map((plannedRelease, i) => forecastUnit(`U${i}`, { S1: 0 }, { plannedRelease })), {
        stages: [forecastStage('PDI', { capacity: servers, minutes: constantTable(minutes) })],
      });
      const free = Array.from({ length: servers }, () => 0);
      const expected: Record<string, number> = {};
      for (const [i, at] of [...releases.entries()].sort((a, b) => a[1] - b[1] || a[0] - b[0])) {
        free.sort((a, b) => a - b);
        free[0] = Math.max(at, free[0]!) + minutes;
        expected[`U${i}`] = free[0];
      }
      expect(firstRun(go(input), 'ready')).toEqual(expected);
    }));
  });

  it('makes no unit later for a server more', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 3 }), fc.integer(), (servers, seed) => {
      const input = (capacity: number): ForecastInput => every(10, 12, [forecastStage('PDI', { capacity, minutes: drawTable([5, 12, 30, 44]) })]);
      const [few, more] = [go(input(servers), seed, 30), go(input(servers + 1), seed, 30)];
      expect(more.ready.every((at, i) => at <= few.ready[i]!)).toBe(true);
    }));
  });
});
