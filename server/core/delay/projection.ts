import type { LineHistory } from '../timeline/line-history.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Instant } from '../units.ts';
import { projectAsReady } from './as-ready.ts';
import { lineStateAt } from './line-state.ts';
import { projectTogether } from './projected-rolls.ts';

export interface ProjectedUnit {
  unit: string;
  /** When it leaves the line's end. */
  exit: Instant;
  places: { station: string; arrive: Instant; finish: Instant; leave: Instant }[];
}

/**
 * The line projected at standard from its state at `at` (definitions §5): every unit on it or still to come, in the order of coming.
 * `visits` are those of `deriveVisits(history, at)`. Infinity where the calendar has no working time ahead.
 */
export function projectLine(history: LineHistory, visits: readonly Visit[], at: Instant): ProjectedUnit[] {
  const state = lineStateAt(history, visits, at);
  if (!state) return [];
  const projected = state.line.roll === 'together' ? projectTogether(state) : projectAsReady(state);
  const instant = (minutes: number): Instant => state.time.addWorking(at, minutes);
  return state.units.flatMap(({ unit }) => {
    const places = (projected.get(unit) ?? []).map(({ station, arrive, finish, leave }) => ({ station, arrive: instant(arrive), finish: instant(finish), leave: instant(leave) }));
    const last = places.at(-1);
    return last ? [{ unit, exit: last.leave, places }] : [];
  });
}
