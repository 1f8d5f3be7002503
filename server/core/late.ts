import type { WorkingTime } from './calendar/working-time.ts';
import { endOfDay, localOf } from './calendar/zone.ts';
import type { Instant, LocalDate, Minutes } from './units.ts';

/** Above this probability of missing its promise a unit is at risk, unless the plant sets another (definitions §7). */
export const LATE_THRESHOLD = 0.2;

/** `late`: the promise ran out and it was not ready to ship. `atRisk`: it will be missed more probably than the plant's threshold. */
export type Standing = 'late' | 'atRisk' | 'inTime';

/** How a unit stands against its promise at `at` (definitions §7); `ready` is when it was released, null while it is not. Null without a promise. */
export function standingOf(promise: Instant | null, ready: Instant | null, missing: number | null, at: Instant, threshold: number): Standing | null {
  if (promise === null) return null;
  if ((ready ?? at) > promise) return 'late';
  return ready === null && (missing ?? 0) > threshold ? 'atRisk' : 'inTime';
}

export interface Lateness {
  /** The promised day is over. */
  due: Instant;
  late: boolean;
  /** Working minutes from `due` to ready; 0 when in time. */
  minutesLate: Minutes;
  /** Days on the calendar from the promised day to the day it is ready; 0 when in time. */
  calendarDaysLate: number;
}

/** How late a unit promised for `promise` is when it is ready to ship at `ready` (definitions §7). */
export function lateness(promise: LocalDate, zone: string, ready: Instant, time: WorkingTime): Lateness {
  const due = endOfDay(zone, promise);
  const late = ready > due;
  if (!late || !Number.isFinite(ready)) return { due, late, minutesLate: late ? ready : 0, calendarDaysLate: late ? ready : 0 };
  const days = (Date.parse(localOf(zone, ready).date) - Date.parse(promise)) / 86_400_000;
  return { due, late, minutesLate: time.workingBetween(due, ready), calendarDaysLate: days };
}
