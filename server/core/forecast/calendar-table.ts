import type { WorkingTime } from '../calendar/working-time.ts';
import { type Instant, type Minutes, MS_PER_MINUTE } from '../units.ts';

/** Wall-clock minutes after the instant of the forecast. */
export type WallMinutes = number;

/**
 * Working time from the instant of a forecast on, as cumulative tables (definitions §1): stretch i begins at wall minute `from[i]`, is
 * `length[i]` minutes long, and `before[i]` minutes were worked before it. `byWork` and `byWall` name for each bucket the stretch that holds its beginning
 * or else the first after it, so that a look-up takes a step or two.
 */
export interface CalendarTable {
  from: Float64Array;
  length: Float64Array;
  before: Float64Array;
  byWork: Int32Array;
  byWall: Int32Array;
}

const BUCKET: Minutes = 64;
const HORIZON_DAYS = 400;

/** The calendar of `time` for the 400 days from `at`. Beyond them nothing is worked; only one that never paused in them never will. */
export function calendarTable(time: Pick<WorkingTime, 'stretches'>, at: Instant): CalendarTable {
  const end = at + HORIZON_DAYS * 86_400_000;
  const stretches = time.stretches(at, end);
  const [first] = stretches;
  if (first && first.from <= at && first.to >= end) return tableOf([{ from: 0, length: Number.POSITIVE_INFINITY }]);
  return tableOf(stretches.map(({ from, to }) => ({ from: (from - at) / MS_PER_MINUTE, length: (to - from) / MS_PER_MINUTE })));
}

/** Round the clock: working and wall-clock minutes are the same. */
export function alwaysWorks({ from, length }: CalendarTable): boolean {
  return from[0] === 0 && length[0] === Number.POSITIVE_INFINITY;
}

function tableOf(stretches: readonly { from: WallMinutes; length: Minutes }[]): CalendarTable {
  const count = stretches.length;
  const table = { from: new Float64Array(count), length: new Float64Array(count), before: new Float64Array(count) };
  let worked = 0;
  stretches.forEach(({ from, length }, i) => {
    table.from[i] = from;
    table.length[i] = length;
    table.before[i] = worked;
    worked += length;
  });
  const ends = Float64Array.from(stretches, ({ from, length }) => from + length);
  return { ...table, byWork: buckets(table.before, table.length, worked), byWall: buckets(table.from, ends.map((end, i) => end - table.from[i]!), ends[count - 1] ?? 0) };
}

function buckets(starts: Float64Array, lengths: Float64Array, end: number): Int32Array {
  const found = new Int32Array(Number.isFinite(end) ? Math.ceil(end / BUCKET) + 1 : 1);
  let index = 0;
  for (let bucket = 0; bucket < found.length; bucket++) {
    while (index < starts.length - 1 && starts[index]! + lengths[index]! <= bucket * BUCKET) index++;
    found[bucket] = index;
  }
  return found;
}

/** The earliest wall minute by which `work` minutes (>= 0) were worked; Infinity when the calendar has fewer. */
export function wallAfter(calendar: CalendarTable, work: Minutes): WallMinutes {
  if (work <= 0) return 0;
  const { before, length, from, byWork } = calendar;
  const last = from.length - 1;
  if (last < 0 || !(work <= before[last]! + length[last]!)) return Number.POSITIVE_INFINITY;
  let i = byWork[Math.min(byWork.length - 1, Math.floor(work / BUCKET))]!;
  // The bucket's stretch may end at or before `work`, or begin at it: the earliest instant is the end of the one before.
  while (i < last && before[i]! + length[i]! < work) i++;
  while (i > 0 && before[i]! >= work) i--;
  return from[i]! + (work - before[i]!);
}

/** Minutes worked by wall minute `wall` (>= 0). */
export function workedBy(calendar: CalendarTable, wall: WallMinutes): Minutes {
  const { before, length, from, byWall } = calendar;
  const last = from.length - 1;
  if (last < 0) return 0;
  let i = byWall[Math.min(byWall.length - 1, wall < Number.MAX_SAFE_INTEGER ? Math.floor(wall / BUCKET) : byWall.length - 1)]!;
  while (i < last && from[i + 1]! <= wall) i++;
  const inside = wall - from[i]!;
  return inside <= 0 ? before[i]! : before[i]! + Math.min(inside, length[i]!);
}

/** The earliest wall minute, not before `wall`, at which `work` more minutes were worked. */
export function addWork(calendar: CalendarTable, wall: WallMinutes, work: Minutes): WallMinutes {
  return work <= 0 ? wall : wallAfter(calendar, workedBy(calendar, wall) + work);
}
