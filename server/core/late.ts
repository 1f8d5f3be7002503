import type { WorkingTime } from './calendar/working-time.ts';
import { endOfDay, localOf } from './calendar/zone.ts';
import type { Instant, LocalDate, Minutes } from './units.ts';

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
