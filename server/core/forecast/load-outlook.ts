import { quantileOfSorted } from '../rates/quantiles.ts';
import { type Instant, MS_PER_MINUTE } from '../units.ts';
import type { ForecastRuns } from './run.ts';

/** Units that one truck is to take, and when it is to come. */
export interface LoadOfUnits {
  load: string;
  pickUp: Instant | null;
  units: string[];
}

/** When the whole load is ready to ship: the last of its units, told run by run, for units of one line are late together. */
export interface LoadOutlook {
  load: string;
  /** Units it is told from. */
  units: number;
  p10: Instant | null;
  p50: Instant | null;
  p90: Instant | null;
  /** Probability that not all are ready when the truck is to come; null where nobody has said when. */
  missing: number | null;
}

/** Of each load with a unit among those forecast. `released` are the units that are ready already; `found.ready` counts minutes from `at`. */
export function loadOutlooks(loads: readonly LoadOfUnits[], found: ForecastRuns, released: ReadonlyMap<string, Instant | null>, at: Instant): LoadOutlook[] {
  const index = new Map(found.units.map((unit, u) => [unit, u]));
  return loads.flatMap(({ load, pickUp, units }): LoadOutlook[] => {
    const done = units.flatMap((unit) => released.get(unit) ?? []);
    const open = units.filter((unit) => (released.get(unit) ?? null) === null && index.has(unit)).map((unit) => index.get(unit)!);
    if (done.length + open.length === 0) return [];
    const first = done.length === 0 ? -Infinity : (Math.max(...done) - at) / MS_PER_MINUTE;
    const last = new Float64Array(found.runs).fill(first);
    for (const u of open) for (let r = 0; r < found.runs; r++) last[r] = Math.max(last[r]!, found.ready[u * found.runs + r]!);
    last.sort();
    const instant = (level: number): Instant | null => {
      const t = at + Math.round(quantileOfSorted(last, level) * MS_PER_MINUTE);
      return Number.isFinite(t) ? t : null;
    };
    const due = pickUp === null ? null : (pickUp - at) / MS_PER_MINUTE;
    return [{ load, units: done.length + open.length, p10: instant(0.1), p50: instant(0.5), p90: instant(0.9), missing: due === null ? null : last.filter((t) => t > due).length / found.runs }];
  });
}

/**
 * The same load as told from several lines: each forecasts its own units, by draws that do not hang together. All are ready in time when each line's
 * are; the quantiles are those of the later line, which is the least that can be said.
 */
export function joinedOutlooks(outlooks: readonly LoadOutlook[]): LoadOutlook[] {
  const joined = new Map<string, LoadOutlook>();
  const later = (a: Instant | null, b: Instant | null): Instant | null => (a === null || b === null ? null : Math.max(a, b));
  for (const one of outlooks) {
    const before = joined.get(one.load);
    joined.set(one.load, !before ? one : {
      load: one.load, units: before.units + one.units, p10: later(before.p10, one.p10), p50: later(before.p50, one.p50), p90: later(before.p90, one.p90),
      missing: before.missing === null || one.missing === null ? null : 1 - (1 - before.missing) * (1 - one.missing),
    });
  }
  return [...joined.values()];
}
