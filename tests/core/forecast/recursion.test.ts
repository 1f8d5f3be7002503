import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { constantTable, drawTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastInput, ForecastStation } from '../../../server/core/forecast/forecast-input.ts';
import { type ForecastRuns, run } from '../../../server/core/forecast/run.ts';
import { arbitraryLine } from '../../support/arbitrary-line.ts';
import { oracleExits } from '../../support/forecast-oracle.ts';
import { alwaysWorking, firstRun, forecastInput, forecastStation, forecastUnit, working } from '../../support/given-forecast.ts';

const RATIOS = drawTable([0.7, 0.9, 1, 1.1, 1.6]);
const go = (input: ForecastInput, seed = 1, runs = 40): ForecastRuns => run(compileLine(input), seed, runs);
/** No unit in any run earlier than on the other side. */
const neverEarlier = (later: ForecastRuns, earlier: ForecastRuns): void => expect(later.exit.every((exit, i) => exit >= earlier.exit[i]! - 1e-9)).toBe(true);

const withStations = (input: ForecastInput, change: (station: ForecastStation, i: number) => Partial<ForecastStation>): ForecastInput => ({
  ...input, stations: input.stations.map((station, i) => ({ ...station, ...change(station, i) })),
});

describe('the recursion at standard', () => {
  it('is that of definitions §5, kept and sorted leave by leave', () => {
    fc.assert(fc.property(arbitraryLine(constantTable(1)), (input) => {
      // A unit that has worked beyond its only known ratio has more to do here than at standard.
      const units = input.units.map((unit) => ({ ...unit, worked: unit.worked === null ? null : Math.min(unit.worked, unit.route[unit.reached]?.standard ?? 0) }));
      const found = firstRun(go({ ...input, units }, 1, 1));
      const expected = oracleExits({ ...input, units });
      for (const [unit, exit] of Object.entries(expected)) expect(found[unit]).toBeCloseTo(exit, 9);
    }), { numRuns: 400 });
  });

  it('is the same in wall-clock time, where stations have calendars of their own', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), (input) => {
      const own = alwaysWorking();
      expect(go(withStations(input, () => ({ calendar: own }))).exit).toEqual(go(input).exit);
    }), { numRuns: 200 });
  });

  it('plans the worked examples of definitions §5: exits 75, 105, 135, 165 at pace 30; 75, 115, 155, 195, 235 at pace 40', () => {
    const stations = ['S1', 'S2', 'S3'].map((code) => forecastStation(code));
    const exits = (count: number, pace: number): number[] => {
      const units = Array.from({ length: count }, (_, i) => forecastUnit(`U${i + 1}`, { S1: 25, S2: 30, S3: 20 }, { plannedRelease: i * pace }));
      return Object.values(firstRun(go(forecastInput(stations, units))));
    };
    expect(exits(4, 30)).toEqual([75, 105, 135, 165]);
    expect(exits(5, 40)).toEqual([75, 115, 155, 195, 235]);
  });

  it('rolls together at the latest finish and planned release', () => {
    // Rolls at 0, 30, 60, 90, then nothing enters: 110.
    const stations = ['S1', 'S2', 'S3'].map((code) => forecastStation(code));
    const units = [0, 30].map((plannedRelease, i) => forecastUnit(`U${i + 1}`, { S1: 25, S2: 30, S3: 20 }, { plannedRelease }));
    expect(firstRun(go(forecastInput(stations, units, { roll: 'together' })))).toEqual({ U1: 90, U2: 110 });
  });

  it('has no unit left out and none twice: what has no work leaves when it may', () => {
    const stations = [forecastStation('S1'), forecastStation('S2', { capacity: 0 + 1 })];
    expect(firstRun(go(forecastInput(stations, [forecastUnit('U1', { S1: 0, S2: 0 }), forecastUnit('U2', { S1: 0, S2: 0 })])))).toEqual({ U1: 0, U2: 0 });
  });
});

describe('drawn runs', () => {
  it('give the same answer for the same seed, and another for another', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), fc.integer(), (input, seed) => {
      expect(go(input, seed).exit).toEqual(go(input, seed).exit);
    }), { numRuns: 40 });
    const units = [forecastUnit('U1', { S1: 30 })];
    expect(go(forecastInput([forecastStation('S1', { draws: working(RATIOS) })], units), 1).exit).not.toEqual(go(forecastInput([forecastStation('S1', { draws: working(RATIOS) })], units), 2).exit);
  });

  it('do not depend on how many there are', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), fc.integer({ min: 1, max: 600 }), (input, runs) => {
      const [few, many] = [go(input, 3, runs), go(input, 3, 1_100)];
      for (let u = 0; u < few.units.length; u++) expect(few.exit.slice(u * runs, (u + 1) * runs)).toEqual(many.exit.slice(u * 1_100, u * 1_100 + runs));
    }), { numRuns: 25 });
  });

  it('agree run by run with the oracle on the work that they drew', () => {
    // A unit alone on a line without limits takes its own draws one after the other; so the draws can be told from a line of one station each.
    const workIn = (input: ForecastInput, r: number) => {
      const drawn = new Map<string, number>();
      for (const unit of input.units) {
        unit.route.slice(unit.here ? unit.reached : unit.reached + 1).forEach((step, i) => {
          const standing = unit.here && i === 0;
          const alone = { ...unit, route: [step], reached: standing ? 0 : -1, here: standing, plannedRelease: 0 };
          const stations = input.stations.filter(({ code }) => code === step.station).map((station) => ({ ...station, capacity: null, placeLength: null }));
          drawn.set(`${unit.unit} ${step.station}`, go({ ...input, roll: 'asReady', stations, units: [alone] }, 9, r + 1).exit[r]!);
        });
      }
      return (unit: { unit: string }, station: string): number => drawn.get(`${unit.unit} ${station}`)!;
    };
    fc.assert(fc.property(arbitraryLine(RATIOS), fc.integer({ min: 0, max: 30 }), (input, r) => {
      const found = go(input, 9, 31);
      const expected = oracleExits(input, workIn(input, r));
      for (const [unit, exit] of Object.entries(expected)) expect(found.exit[found.units.indexOf(unit) * 31 + r]).toBeCloseTo(exit, 9);
    }), { numRuns: 60 });
  });

  it('never leave later for a place more, under the same draws', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS, { roll: 'asReady', counted: true }), fc.integer({ min: 0, max: 4 }), (input, at) => {
      neverEarlier(go(input), go(withStations(input, ({ capacity }, i) => ({ capacity: i === at && capacity !== null ? capacity + 1 : capacity }))));
    }), { numRuns: 120 });
  });

  it('never leave earlier for more work at a station, on both kinds of line', () => {
    const more = drawTable([0.7, 0.9, 1, 1.1, 1.6].map((ratio) => ratio * 1.3));
    fc.assert(fc.property(arbitraryLine(RATIOS), fc.integer({ min: 0, max: 4 }), (line, at) => {
      // Work that is partly done says itself how long it takes: what is left of it need not grow with the ratios.
      const input = { ...line, units: line.units.map((unit) => ({ ...unit, worked: unit.worked === null ? null : 0 })) };
      neverEarlier(go(withStations(input, ({ draws }, i) => ({ draws: i === at ? working(more) : draws }))), go(input));
    }), { numRuns: 120 });
  });

  it('never leave earlier for a later planned release of the unit', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), fc.nat(8), fc.nat(100), (input, at, delay) => {
      const units = input.units.map((unit, u) => (u === at && unit.plannedRelease !== null ? { ...unit, plannedRelease: unit.plannedRelease + delay } : unit));
      neverEarlier(go({ ...input, units }), go(input));
    }), { numRuns: 80 });
  });

  it('leave the draws of other units alone when one is taken out of the line behind them', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS, { roll: 'asReady' }), (input) => {
      const [all, fewer] = [go(input), go({ ...input, units: input.units.slice(0, -1) })];
      expect(all.exit.slice(0, fewer.exit.length)).toEqual(fewer.exit);
    }), { numRuns: 40 });
  });

  it('have a unit that may not pass leave after those before it', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS, { roll: 'asReady' }), (input) => {
      const units = input.units.map((unit) => ({ ...unit, reached: -1, here: false, worked: null, route: unit.route.slice(0, 1) }));
      const found = go(withStations({ ...input, units }, () => ({ unitsMayPass: false })));
      for (let u = 1; u < units.length; u++) for (let r = 0; r < 40; r++) expect(found.exit[u * 40 + r]).toBeGreaterThanOrEqual(found.exit[(u - 1) * 40 + r]!);
    }), { numRuns: 40 });
  });
});
