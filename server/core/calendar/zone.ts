import type { Weekday } from '../setup/plant.ts';
import type { Instant, LocalDate, LocalTime } from '../units.ts';

const MS_PER_DAY = 86_400_000;
const MS_PER_MINUTE = 60_000;
const WEEKDAYS: readonly Weekday[] = ['sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat'];

/** Formatters by zone: making one costs a hundred times what using it does. */
const formatters = new Map<string, Intl.DateTimeFormat>();

function formatterOf(zone: string): Intl.DateTimeFormat {
  let formatter = formatters.get(zone);
  if (!formatter) {
    formatter = new Intl.DateTimeFormat('en-US', {
      timeZone: zone, hourCycle: 'h23', year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit',
    });
    formatters.set(zone, formatter);
  }
  return formatter;
}

/** The wall clock of `zone` at `t`, as if it were UTC: milliseconds, whole seconds. */
function wallClock(zone: string, t: Instant): number {
  const parts: Record<string, number> = {};
  for (const { type, value } of formatterOf(zone).formatToParts(t)) parts[type] = Number(value);
  return Date.UTC(parts['year']!, parts['month']! - 1, parts['day']!, parts['hour']!, parts['minute']!, parts['second']!);
}

function offsetAt(zone: string, t: Instant): number {
  return wallClock(zone, t) - Math.floor(t / 1_000) * 1_000;
}

/**
 * The instant at which the clock of `zone` shows `date` `time` (definitions §1). In a skipped hour: the first instant that exists
 * after the gap. In a repeated hour: its first. `24:00` is the start of the next day. Throws RangeError on an unknown zone.
 */
export function instantOfLocal(zone: string, date: LocalDate, time: LocalTime): Instant {
  const [hours = 0, minutes = 0] = time.split(':').map(Number);
  const wall = Date.parse(`${date}T00:00:00Z`) + (hours * 60 + minutes) * MS_PER_MINUTE;
  // An offset changes at most once within these two days in every zone in use.
  const offsets = [offsetAt(zone, wall - MS_PER_DAY), offsetAt(zone, wall + MS_PER_DAY)];
  const found = offsets.map((offset) => wall - offset).filter((t) => wallClock(zone, t) === wall);
  if (found.length > 0) return Math.min(...found);
  return transition(zone, wall - Math.max(...offsets), wall - Math.min(...offsets));
}

/** The first instant in (low, high] with the offset of `high`. */
function transition(zone: string, low: Instant, high: Instant): Instant {
  const after = offsetAt(zone, high);
  let [from, to] = [low, high];
  while (to - from > 1_000) {
    const middle = Math.floor((from + to) / 2_000) * 1_000;
    if (offsetAt(zone, middle) === after) to = middle;
    else from = middle;
  }
  return to;
}

/** What the clock and the calendar of `zone` show at `t`. */
export function localOf(zone: string, t: Instant): { date: LocalDate; time: LocalTime } {
  const text = new Date(wallClock(zone, t)).toISOString();
  return { date: text.slice(0, 10), time: text.slice(11, 16) };
}

/** The instant at which `date` is over in `zone`. */
export function endOfDay(zone: string, date: LocalDate): Instant {
  return instantOfLocal(zone, addDays(date, 1), '00:00');
}

export function addDays(date: LocalDate, days: number): LocalDate {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * MS_PER_DAY).toISOString().slice(0, 10);
}

export function weekdayOf(date: LocalDate): Weekday {
  return WEEKDAYS[new Date(`${date}T00:00:00Z`).getUTCDay()]!;
}
