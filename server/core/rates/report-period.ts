import type { WorkingTime } from '../calendar/working-time.ts';
import { addDays, instantOfLocal } from '../calendar/zone.ts';
import type { Instant, LocalDate } from '../units.ts';

/** The days of a report, both counted in, and the instants they are: a shift that crosses midnight belongs to the day it begins on. */
export interface ReportPeriod {
  first: LocalDate;
  last: LocalDate;
  begins: Instant;
  /** Not later than the instant the report is told at, nor before `begins`. */
  ends: Instant;
}

/** Empty for days that have not come yet at `at`. `time` is asked about these days alone: one of its own lays out no years between. */
export function reportPeriod(time: WorkingTime, zone: string, first: LocalDate, last: LocalDate, at: Instant): ReportPeriod {
  const begins = beginOf(time, zone, first);
  return { first, last, begins, ends: Math.max(begins, Math.min(at, beginOf(time, zone, addDays(last, 1)))) };
}

/** Midnight, or the end of the shift of the day before that runs across it. */
function beginOf(time: WorkingTime, zone: string, date: LocalDate): Instant {
  const midnight = instantOfLocal(zone, date, '00:00');
  const shift = time.shiftAt(midnight);
  return shift && shift.date < date ? shift.end : midnight;
}
