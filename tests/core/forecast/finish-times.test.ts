import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { drawTable } from '../../../server/core/forecast/draw-table.ts';
import { finishTimes } from '../../../server/core/forecast/finish-times.ts';
import type { ForecastInput } from '../../../server/core/forecast/forecast-input.ts';
import { run } from '../../../server/core/forecast/run.ts';
import { quantileOfSorted } from '../../../server/core/rates/quantiles.ts';
import { arbitraryLine } from '../../support/arbitrary-line.ts';
import { exactly, forecastInput, forecastStation, forecastUnit, runsOf, serialLine, working } from '../../support/given-forecast.ts';

const RATIOS = drawTable([0.61, 0.83, 1.07, 1.31, 1.93, 2.57]);
const all = (input: ForecastInput): Set<string> => new Set(input.stations.map(({ code }) => code));
const told = (input: ForecastInput, runs = 1, wanted = all(input)): Record<string, number> =>
  Object.fromEntries(finishTimes(compileLine(input), 1, runs, wanted).map(({ unit, station, minutes }) => [`${unit} ${station}`, minutes]));

describe('when units are finished at their stations', () => {
  it('is by hand what two units make of two stations', () => {
    // U1: 10, then 30 more. U2 waits at S1 until U1 is out of S2: finished there at 20, at S2 at 40 + 5.
    expect(told(serialLine([0], [[10, 30], [10, 5]]))).toEqual({ 'U1 S1': 10, 'U1 S2': 40, 'U2 S1': 20, 'U2 S2': 45 });
  });

  it('is told of the stations that are asked for, and of those ahead alone', () => {
    const stations = ['S1', 'S2', 'S3'].map((code) => forecastStation(code));
    const standing = forecastUnit('U1', { S1: 10, S2: 20, S3: 5 }, { reached: 1, here: true, worked: 15 });
    expect(told(forecastInput(stations, [standing]))).toEqual({ 'U1 S2': 5, 'U1 S3': 10 });
    expect(told(forecastInput(stations, [standing]), 1, new Set(['S3']))).toEqual({ 'U1 S3': 10 });
    expect(told(forecastInput(stations, [standing]), 1, new Set())).toEqual({});
  });

  it('has the trouble that comes on top of the work', () => {
    const trouble = { rate: 50, minutes: drawTable([7]) };
    const input = (stops: typeof trouble) => forecastInput([forecastStation('S1', { draws: { ...exactly, stops } })], [forecastUnit('U1', { S1: 10 })]);
    expect(told(input(trouble))['U1 S1']).toBe(run(compileLine(input(trouble)), 1, 1).exit[0]);
    expect(told(input(trouble))['U1 S1']).toBeGreaterThan(10);
  });

  it('is when the unit would leave a line that ended there, where nothing after it keeps it', () => {
    const work = fc.integer({ min: 1, max: 60 });
    fc.assert(fc.property(fc.array(fc.tuple(work, work, work), { minLength: 1, maxLength: 8 }), fc.integer({ min: 1, max: 600 }), (standards, runs) => {
      const ends = forecastStation('S3', { capacity: 0 });
      const units = (codes: string[]) => standards.map((own, u) => forecastUnit(`U${u}`, Object.fromEntries(codes.map((code, i) => [code, own[i]!]))));
      const two = ['S1', 'S2'].map((code) => forecastStation(code, { draws: working(RATIOS) }));
      const found = run(compileLine(forecastInput(two, units(['S1', 'S2']))), 1, runs);
      const finished = told(forecastInput([...two, ends], units(['S1', 'S2', 'S3'])), runs);
      for (const unit of found.units) expect(finished[`${unit} S2`]).toBeCloseTo(quantileOfSorted(Float64Array.from(runsOf(found, unit)).sort(), 0.5), 9);
    }), { numRuns: 150 });
  });

  it('never goes back along a unit\'s way, and is never after its exit, on any line', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), (input) => {
      const finished = told(input);
      const found = run(compileLine(input), 1, 1);
      for (const { unit, route } of input.units) {
        const own = route.flatMap(({ station }) => finished[`${unit} ${station}`] ?? []);
        expect(own).toEqual(own.toSorted((a, b) => a - b));
        if (own.length > 0) expect(own.at(-1)).toBeLessThanOrEqual(runsOf(found, unit)[0]! + 1e-9);
      }
    }), { numRuns: 300 });
  });
});
