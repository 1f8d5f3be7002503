import type { Instant, LocalDate } from '../units.ts';
import type { Shift } from './shifts.ts';
import type { WorkingTime } from './working-time.ts';
import { endOfDay, instantOfLocal, localOf } from './zone.ts';

/** A shift as it is asked for: `key` is its name, or the local time it begins at where another shift of its date has the same name. */
export interface NamedShift extends Shift {
  key: string;
}

export interface ShiftChoice {
  /** The one asked for; null where there is none, or (`unknownKey`) none of that key. */
  shift: NamedShift | null;
  unknownKey: boolean;
  /** Its date, or the one asked for. */
  date: LocalDate;
  /** All shifts of that date. */
  shifts: NamedShift[];
  /** The last that began before it, and the next that has begun; null when none did within four weeks. */
  previous: NamedShift | null;
  next: NamedShift | null;
}

const FARTHEST_MS = 28 * 86_400_000;

/**
 * The shift of `date` and `key`. Without a key: the last of the date that has begun by `now`, else its first. Without a date: that of the shift now, or
 * between shifts of the last one. What the floor said of the day makes no difference to which shifts there are.
 */
export function chooseShift(time: WorkingTime, zone: string, now: Instant, date: LocalDate | null, key: string | null): ShiftChoice {
  // Only the weeks asked for are looked at: a working time that spanned the years to a day long ago would take as long to lay out.
  const day = date ?? time.shiftsBetween(now - FARTHEST_MS, now + 1).at(-1)?.date ?? localOf(zone, now).date;
  const shifts = shiftsOf(time, zone, day);
  const shift = key === null ? (shifts.findLast(({ start }) => start <= now) ?? shifts[0] ?? null) : (shifts.find((own) => own.key === key) ?? null);
  const from = shift?.start ?? instantOfLocal(zone, day, '00:00');
  const named = (other: Shift | undefined): NamedShift | null => (other ? (shiftsOf(time, zone, other.date).find(({ start }) => start === other.start) ?? null) : null);
  return {
    shift, unknownKey: key !== null && shift === null, date: day, shifts, previous: named(time.shiftsBetween(from - FARTHEST_MS, from).at(-1)),
    next: from >= now ? null : named(time.shiftsBetween(from + 1, Math.min(now, from + FARTHEST_MS) + 1)[0]),
  };
}

function shiftsOf(time: WorkingTime, zone: string, date: LocalDate): NamedShift[] {
  const shifts = time.shiftsBetween(instantOfLocal(zone, date, '00:00'), endOfDay(zone, date)).filter((shift) => shift.date === date);
  return shifts.map((shift) => ({ ...shift, key: shifts.filter(({ name }) => name === shift.name).length > 1 ? localOf(zone, shift.start).time : shift.name }));
}
