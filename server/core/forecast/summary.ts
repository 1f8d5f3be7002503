import { type Instant, MS_PER_MINUTE } from '../units.ts';
import type { WallMinutes } from './calendar-table.ts';
import type { CompiledLine } from './compiled-line.ts';
import { quantileOfSorted } from '../rates/quantiles.ts';
import type { ForecastRuns } from './run.ts';

/** When a unit is ready to ship (definitions §6). Infinity: in so many runs its calendars end before. */
export interface UnitForecast {
  unit: string;
  p10: Instant;
  p50: Instant;
  p80: Instant;
  p90: Instant;
  /** Probability that it is not ready to ship by its promise; null without a promise. */
  missing: number | null;
}

/** What the runs say of each unit, in the order of coming. */
export function summarize({ at, units }: CompiledLine, found: ForecastRuns): UnitForecast[] {
  return found.units.map((unit, u) => {
    const ready = found.ready.slice(u * found.runs, (u + 1) * found.runs).sort();
    const promise = units.promise[u]!;
    const instant = (level: number): Instant => at + Math.round(quantileOfSorted(ready, level) * MS_PER_MINUTE);
    return { unit, p10: instant(0.1), p50: instant(0.5), p80: instant(0.8), p90: instant(0.9), missing: Number.isNaN(promise) ? null : 1 - shareBy(found, u, promise) };
  });
}

/** The share of runs in which the unit is ready to ship at or before `wall`. */
export function shareBy({ ready, runs }: ForecastRuns, unit: number, wall: WallMinutes): number {
  let inTime = 0;
  for (let r = unit * runs; r < (unit + 1) * runs; r++) if (ready[r]! <= wall) inTime++;
  return inTime / runs;
}
