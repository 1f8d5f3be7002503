import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { KEPT_LEVELS, type LineForecast, type UnitOutlook } from '../../../server/core/forecast/line-forecast.ts';
import { crpsUniform } from '../../../server/core/forecast/score.ts';
import { scoreForecasts } from '../../../server/core/forecast/scored-forecasts.ts';
import { aLine, aPlant, aStation, minute, setupOf } from '../../support/given.ts';

const always = workingTimeOf(setupOf(aPlant(aLine([aStation('S1')]), { S1: 10 })), { line: 'MAIN', station: null }, []);

/** A forecast that says uniformly from `low` to `high` minutes after it was made. */
function outlook(unit: string, low: number, high: number, more: Partial<UnitOutlook> = {}, at = 0): UnitOutlook {
  const level = (p: number): number => minute(at + low + p * (high - low));
  return {
    unit, p10: level(0.1), p50: level(0.5), p80: level(0.8), p90: level(0.9), missing: null, promise: null, levels: KEPT_LEVELS.map(level), pickedUp: null, critical: [],
    byPace: minute(at + high), byMedians: minute(at + low), ...more,
  };
}
const made = (units: UnitOutlook[], at = 0): LineForecast => ({ line: 'MAIN', at: minute(at), seed: 1, runs: 512, units, clearBy: [], loads: [] });
const ready = (entries: Record<string, number>): Map<string, number> => new Map(Object.entries(entries).map(([unit, m]) => [unit, minute(m)]));

describe('kept forecasts against what happened', () => {
  it('count how many intervals held it, and on which side the others missed', () => {
    const forecast = made(['A', 'B', 'C', 'D'].map((unit) => outlook(unit, 0, 100)));
    const [all] = scoreForecasts([forecast], ready({ A: 50, B: 90, C: 95, D: 5 }), always, 450);
    expect(all).toMatchObject({ daysAhead: null, forecasts: 4, units: 4, coverage: 0.5, tooEarly: 0.25, tooLate: 0.25 });
  });

  it('give a point its error, and the quantiles nearly the score of the whole distribution', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 100 }), (seen) => {
      const [all] = scoreForecasts([made([outlook('A', 0, 100)])], ready({ A: seen }), always, 450);
      // Nineteen levels leave out the ends, where the loss is least: within a twentieth of the width.
      expect(Math.abs(all!.crps - crpsUniform(0, 100, seen))).toBeLessThan(5);
      expect([all!.byPace, all!.byMedians]).toEqual([100 - seen, seen]);
      const [point] = scoreForecasts([made([outlook('A', 40, 40)])], ready({ A: seen }), always, 450);
      expect(point!.crps).toBeCloseTo(Math.abs(seen - 40), 9);
    }));
  });

  it('have the pinball loss of the definition at each level', () => {
    const [all] = scoreForecasts([made([outlook('A', 0, 100)])], ready({ A: 70 }), always, 450);
    expect(all!.pinball.p10).toBeCloseTo(0.1 * 60, 9);
    expect(all!.pinball.p50).toBeCloseTo(0.5 * 20, 9);
    expect(all!.pinball.p80).toBeCloseTo(0.2 * 10, 9);
    expect(all!.pinball.p90).toBeCloseTo(0.1 * 20, 9);
  });

  it('are told by working days ahead, the last ones together, each with its units', () => {
    const units = [outlook('A', 0, 100), outlook('B', 500, 600), outlook('C', 9_000, 9_100), outlook('D', 99_000, 99_100)];
    const told = scoreForecasts([made(units), made([outlook('A', 0, 90, {}, 10)], 10)], ready({ A: 60, B: 550, C: 9_050, D: 99_050 }), always, 450);
    expect(told.map(({ daysAhead, forecasts, units: of }) => [daysAhead, forecasts, of])).toEqual([[null, 5, 4], [0, 2, 1], [1, 1, 1], [8, 2, 2]]);
  });

  it('leave out what was ready before, is not ready yet, or has no end in its calendar', () => {
    const units = [outlook('A', 0, 100), outlook('B', 0, 100), outlook('C', 0, 100, { levels: KEPT_LEVELS.map(() => null) }), outlook('D', 0, 100, { byPace: null })];
    expect(scoreForecasts([made(units)], ready({ A: -5, C: 50, D: 50 }), always, 450)).toEqual([]);
    expect(scoreForecasts([], ready({}), always, 450)).toEqual([]);
  });

  it('are perfect where the point is, and no better than a rule that says the same', () => {
    const same = outlook('A', 30, 30, { byPace: minute(30), byMedians: minute(50) });
    const [all] = scoreForecasts([made([same])], ready({ A: 40 }), always, 450);
    expect(all!.skillOverPace).toBeCloseTo(0, 9);
    const [perfect] = scoreForecasts([made([outlook('A', 40, 40)])], ready({ A: 40 }), always, 450);
    expect(perfect!.crps).toBe(0);
  });
});
