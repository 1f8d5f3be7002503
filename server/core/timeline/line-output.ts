import type { WorkingTime } from '../calendar/working-time.ts';
import { routeOf } from '../setup/setup-at.ts';
import type { Line, Plant } from '../setup/plant.ts';
import type { Instant, Minutes } from '../units.ts';
import type { UnitHistory } from './line-history.ts';

/** A unit that left a line at its end. */
export interface Exit {
  line: string;
  unit: string;
  left: Instant;
}

const DAY_MS = 86_400_000;
/** A plant that is closed longer has no shift to be on pace in. */
const FARTHEST_DAYS = 14;

/** Start of the shift that `t` lies in, between two shifts of the one before; null when none began within a fortnight. */
export function shiftStartedBy(time: WorkingTime, t: Instant): Instant | null {
  return time.shiftsBetween(t - FARTHEST_DAYS * DAY_MS, t + 1).at(-1)?.start ?? null;
}

/** Whole units that a line which keeps pace has let go between `from` and `to`: working minutes ÷ pace (definitions §4). */
export function plannedExits(time: WorkingTime, from: Instant, to: Instant, pace: Minutes): number {
  if (pace <= 0 || to <= from) return 0;
  // A minute lost in the arithmetic of real numbers must not cost a unit.
  return Math.floor(time.workingBetween(from, to) / pace + 1e-9);
}

/**
 * Units that left `line` in [from, to) at the last station of their own route, in order of leaving. One pulled off the line has not left it.
 */
export function exitsOf(plant: Plant, line: Line, units: Iterable<UnitHistory>, from: Instant, to: Instant): Exit[] {
  const exits: Exit[] = [];
  for (const { unit, model, options, stays } of units) {
    const stay = stays.findLast((one) => one.line === line.code && one.left !== null && from <= one.left && one.left < to);
    if (!stay || stay.left === null || stay.leftHow === 'pulledOff') continue;
    if (stay.station === routeOf(plant, line, model, options).at(-1)?.station) exits.push({ line: line.code, unit, left: stay.left });
  }
  return exits.sort((a, b) => a.left - b.left || (a.unit < b.unit ? -1 : 1));
}
