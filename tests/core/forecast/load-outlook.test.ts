import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { joinedOutlooks, loadOutlooks, type LoadOutlook } from '../../../server/core/forecast/load-outlook.ts';
import type { ForecastRuns } from '../../../server/core/forecast/run.ts';
import { minute } from '../../support/given.ts';

/** Ready minutes by unit, run by run. */
function runsOf(ready: Record<string, number[]>): ForecastRuns {
  const units = Object.keys(ready);
  const all = Float64Array.from(units.flatMap((unit) => ready[unit]!));
  return { runs: ready[units[0]!]!.length, units, exit: all, ready: all, pickedUp: null };
}
const NONE = new Map<string, number | null>();
const load = (units: string[], pickUp: number | null = null) => ({ load: 'L', pickUp: pickUp === null ? null : minute(pickUp), units });

describe('when a load is ready', () => {
  const found = runsOf({ A: [10, 20, 30, 40], B: [40, 30, 20, 10], C: [Infinity, 1, 1, 1] });
  it('is when the last of its units is, run by run', () => {
    // The later of the two is 40, 30, 30, 40: neither unit alone is that late in half of the runs.
    expect(loadOutlooks([load(['A', 'B'], 35)], found, NONE, minute(0))).toMatchObject([{ units: 2, p50: minute(35), missing: 0.5 }]);
    expect(loadOutlooks([load(['A'], 35)], found, NONE, minute(0))).toMatchObject([{ units: 1, p50: minute(25), missing: 0.25 }]);
  });
  it('counts what was released from when it was', () => {
    expect(loadOutlooks([load(['A', 'R'], 35)], found, new Map([['R', minute(-60)]]), minute(0))).toMatchObject([{ units: 2, missing: 0.25 }]);
    expect(loadOutlooks([load(['R'], 35)], found, new Map([['R', minute(-60)]]), minute(0))).toEqual([{ load: 'L', units: 1, p10: minute(-60), p50: minute(-60), p90: minute(-60), missing: 0 }]);
  });
  it('tells no time that the calendars do not reach, and no probability without a truck', () => {
    expect(loadOutlooks([load(['C'])], found, NONE, minute(0))).toMatchObject([{ p10: minute(1), p90: null, missing: null }]);
  });
  it('is not told of a load whose units are all of another line', () => {
    expect(loadOutlooks([load(['Z'])], found, NONE, minute(0))).toEqual([]);
  });
  it('is never before any of its units, and the fewer they are the sooner', () => {
    const drawn = fc.integer({ min: 1, max: 6 }).chain((units) => fc.array(fc.array(fc.nat(1_000), { minLength: 20, maxLength: 20 }), { minLength: units, maxLength: units }));
    fc.assert(fc.property(drawn, fc.nat(1_000), (ready, due) => {
      const names = ready.map((_, u) => `U${u}`);
      const runs = runsOf(Object.fromEntries(names.map((name, u) => [name, ready[u]!])));
      const of = (units: string[]): LoadOutlook => loadOutlooks([load(units, due)], runs, NONE, minute(0))[0]!;
      const whole = of(names);
      for (const name of names) {
        expect(whole.p50!).toBeGreaterThanOrEqual(of([name]).p50!);
        expect(whole.missing!).toBeGreaterThanOrEqual(of([name]).missing!);
      }
      // Not more likely late than all the ways to be late together.
      expect(whole.missing!).toBeLessThanOrEqual(names.reduce((sum, name) => sum + of([name]).missing!, 0) + 1e-12);
    }));
  });
  it('of several lines is in time when each of them is', () => {
    const one = (p50: number, missing: number | null): LoadOutlook => ({ load: 'L', units: 1, p10: p50, p50, p90: p50, missing });
    expect(joinedOutlooks([one(10, 0.5), one(20, 0.2)])).toEqual([{ load: 'L', units: 2, p10: 20, p50: 20, p90: 20, missing: 0.6 }]);
    expect(joinedOutlooks([one(10, 0.5), one(20, null)])[0]!.missing).toBeNull();
  });
});
