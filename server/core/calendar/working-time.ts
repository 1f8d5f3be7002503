import { setupAt } from '../setup/setup-at.ts';
import type { SetupVersion } from '../setup/plant.ts';
import type { FloorTime } from '../timeline/line-history.ts';
import { type Instant, type LocalDate, type Minutes, MS_PER_MINUTE } from '../units.ts';
import { applyFloorTime } from './floor-time.ts';
import { lineFollowed, type Shift, type Where, type WorkingDay, workingDay } from './shifts.ts';
import { lastFrom, type Stretch, union } from './stretches.ts';
import { addDays, localOf } from './zone.ts';

export type { Shift } from './shifts.ts';

/** Working time of one line or station (definitions §1): W(t), derived from the calendar whenever it is asked for. */
export interface WorkingTime {
  /** W(b) - W(a); negative when b is before a. */
  workingBetween(a: Instant, b: Instant): Minutes;
  /** The earliest instant t' >= t with W(t') = W(t) + m, for m >= 0; Infinity when the calendar has no such instant within eight years. */
  addWorking(t: Instant, m: Minutes): Instant;
  isWorking(t: Instant): boolean;
  /** Working stretches in [a, b), clipped to it. */
  stretches(a: Instant, b: Instant): Stretch[];
  /** The shift that `t` lies in, its breaks included. */
  shiftAt(t: Instant): Shift | null;
  /** Shifts that start in [a, b). */
  shiftsBetween(a: Instant, b: Instant): Shift[];
}

interface Table {
  first: Instant;
  last: Instant;
  stretches: Stretch[];
  /** Working milliseconds before each stretch, from the table's start: whole ones, so that where it starts makes no difference to what lies between two instants. */
  before: number[];
  shifts: Shift[];
}

const MS_PER_DAY = 86_400_000;
const MARGIN_DAYS = 7;
/** Minutes that are meant to be so many milliseconds may be a little more. */
const ROUNDING_MS = 1e-4;
/** Eight years, two of them leap years. */
const FARTHEST_DAYS = 8 * 365 + 2;

/**
 * Working time at `where`. The calendar of a date is that of the set-up in force when the date begins, so that W is one
 * function over all versions. What the floor said for a line holds for its stations too, and
 * for the places that follow its calendar.
 */
export function workingTimeOf(setups: readonly SetupVersion[], where: Where, floorTime: readonly FloorTime[]): WorkingTime {
  const said = floorTime.filter(({ line, station, happened }) => (line === null ? station === where.station : line === lineFollowed(setups, where, happened)));
  const days = new Map<LocalDate, WorkingDay>();
  let table: Table | null = null;

  const dayOf = (zone: string, date: LocalDate): WorkingDay => {
    const known = days.get(date) ?? workingDay(setups, where, zone, date);
    days.set(date, known);
    return known;
  };
  /** The table, grown so that it covers [a, b]. It grows by at least a third of itself, so that growing stays cheap. */
  const cover = (a: Instant, b: Instant): Table => {
    if (table && table.first <= a && b <= table.last) return table;
    const grow = table ? (table.last - table.first) / 3 : 0;
    const first = table ? (a < table.first ? Math.min(a, table.first - grow) : table.first) : a;
    const last = table ? (b > table.last ? Math.max(b, table.last + grow) : table.last) : b;
    table = buildTable(setups, first, last, dayOf, said);
    return table;
  };
  const workedBy = ({ stretches, before }: Table, t: Instant): number => {
    const index = lastFrom(stretches, t);
    if (index < 0) return 0;
    const { from, to } = stretches[index]!;
    return before[index]! + Math.min(t, to) - from;
  };

  return {
    workingBetween(a, b) {
      const held = cover(Math.min(a, b), Math.max(a, b));
      return (workedBy(held, b) - workedBy(held, a)) / MS_PER_MINUTE;
    },
    addWorking: (t, m) => (m * MS_PER_MINUTE <= ROUNDING_MS ? t : findAfter(t, m, cover, workedBy)),
    isWorking(t) {
      const { stretches } = cover(t, t);
      const index = lastFrom(stretches, t);
      return index >= 0 && t < stretches[index]!.to;
    },
    stretches(a, b) {
      const { stretches } = cover(a, b);
      const clipped = stretches.slice(Math.max(0, lastFrom(stretches, a)), lastFrom(stretches, b) + 1);
      return clipped.map(({ from, to }) => ({ from: Math.max(a, from), to: Math.min(b, to) })).filter(({ from, to }) => to > from);
    },
    shiftAt: (t) => cover(t, t).shifts.find(({ start, end }) => start <= t && t < end) ?? null,
    shiftsBetween: (a, b) => cover(a, b).shifts.filter(({ start }) => a <= start && start < b),
  };
}

function findAfter(t: Instant, m: Minutes, cover: (a: Instant, b: Instant) => Table, workedBy: (table: Table, t: Instant) => number): Instant {
  const wanted = m * MS_PER_MINUTE;
  for (let days = MARGIN_DAYS; days < 2 * FARTHEST_DAYS; days *= 2) {
    const until = t + Math.min(days, FARTHEST_DAYS) * MS_PER_DAY;
    const held = cover(t, until);
    const worked = workedBy(held, t);
    // Not the table's own end: how far it was grown before must not decide.
    if (wanted > workedBy(held, until) - worked) continue;
    // The first stretch by whose end the wanted minutes are worked: an end that falls on a break is told at the earlier instant.
    let [low, high] = [0, held.stretches.length - 1];
    while (low < high) {
      const middle = (low + high) >> 1;
      const { from, to } = held.stretches[middle]!;
      if (held.before[middle]! + to - from - worked >= wanted - ROUNDING_MS) high = middle;
      else low = middle + 1;
    }
    const { from, to } = held.stretches[low]!;
    return Math.max(t, Math.min(to, Math.round(from + wanted - (held.before[low]! - worked))));
  }
  return Number.POSITIVE_INFINITY;
}

function buildTable(
  setups: readonly SetupVersion[], first: Instant, last: Instant, dayOf: (zone: string, date: LocalDate) => WorkingDay, said: readonly FloorTime[],
): Table {
  const zone = setupAt(setups, last)?.plant.timeZone ?? 'UTC';
  // A shift may begin the day before, and what the floor said needs the next shift's start.
  const end = localOf(zone, last + MARGIN_DAYS * MS_PER_DAY).date;
  const shifts: Shift[] = [];
  const raw: Stretch[] = [];
  for (let date = localOf(zone, first - 2 * MS_PER_DAY).date; date <= end; date = addDays(date, 1)) {
    const day = dayOf(zone, date);
    shifts.push(...day.shifts);
    raw.push(...day.stretches);
  }
  shifts.sort((a, b) => a.start - b.start);
  const stretches = applyFloorTime(union(raw), shifts, said);
  const before: number[] = [];
  let sum = 0;
  for (const { from, to } of stretches) {
    before.push(sum);
    sum += to - from;
  }
  return { first, last, stretches, before, shifts };
}
