import { type Instant, MS_PER_MINUTE } from '../units.ts';
import { wallAfter, workedBy } from './calendar-table.ts';
import type { CompiledLine } from './compiled-line.ts';
import { run } from './run.ts';
import { shareBy } from './summary.ts';

/** Wanted probability of making the promise unless the plant sets another (definitions §6). */
export const WANTED_PROBABILITY = 0.8;

export interface ClearBy {
  hold: string;
  unit: string;
  /** The latest instant; null when even clearing it now is too late. */
  latest: Instant | null;
}

/** The line with a hold that ends after `minutes` working minutes of the line, instead of a drawn end. */
export function withHoldCleared(compiled: CompiledLine, hold: number, minutes: number): CompiledLine {
  const fixed = compiled.holds.fixed.slice();
  fixed[hold] = minutes;
  return { ...compiled, holds: { ...compiled.holds, fixed } };
}

/**
 * For each open hold of a unit with a promise: the latest instant at which it can be cleared and the unit still makes its promise with the `wanted`
 * probability, to the working minute (definitions §6). The later it is cleared the fewer runs are in time, under the same draws, so that halving
 * the stretch finds it. The other holds stay drawn. Those of the earliest promises first, and no more than `most`.
 */
export function clearBy(compiled: CompiledLine, seed: number, runs: number, wanted = WANTED_PROBABILITY, most = Number.POSITIVE_INFINITY): ClearBy[] {
  const { units, holds } = compiled;
  const promised = units.names.map((_, u) => u).filter((u) => !Number.isNaN(units.promise[u]!)).sort((a, b) => units.promise[a]! - units.promise[b]! || a - b);
  const open = promised.flatMap((u) => Array.from({ length: holds.first[u + 1]! - holds.first[u]! }, (_, i) => ({ u, hold: holds.first[u]! + i })));
  return open.slice(0, most).map(({ u, hold }) => ({ hold: holds.ids[hold]!, unit: units.names[u]!, latest: latestFor(compiled, seed, runs, wanted, u, hold) }));
}

function latestFor(compiled: CompiledLine, seed: number, runs: number, wanted: number, unit: number, hold: number): Instant | null {
  const { at, calendars, units } = compiled;
  const promise = units.promise[unit]!;
  const inTime = (minutes: number): boolean => promise >= 0 && shareBy(run(withHoldCleared(compiled, hold, minutes), seed, runs), unit, promise) >= wanted;
  if (!inTime(0)) return null;
  let early = 0;
  let late = Math.ceil(workedBy(calendars[0]!, promise)) + 1;
  while (late - early > 1) {
    const middle = Math.floor((early + late) / 2);
    if (inTime(middle)) early = middle;
    else late = middle;
  }
  return at + Math.round(wallAfter(calendars[0]!, early) * MS_PER_MINUTE);
}
