import { type Instant, type Minutes } from '../units.ts';
import type { AfterLineUnit, ForecastMaterial } from './forecast-material.ts';

/** How many of the latest units are learnt from. */
export const RECENT_UNITS = 60;
/** Working minutes after which a unit that comes to a place that fell free is not taken to have waited for it (common practice, no source). */
const AT_ONCE: Minutes = 10;

/** What units took lately between the line's end and the truck, in working minutes of the line. */
export interface AfterLineMinutes {
  /** From the line's end until ready for inspection: touch-up and re-tests, without the queue for inspection. */
  touchUp: Minutes[];
  /** Share of released units that came to an inspection line; 1 while too few were released to say. */
  inspected: number;
  /** From the last inspection, the last hold cleared and the last short item fitted until released. */
  release: Minutes[];
  /** From released until gone. */
  pickUp: Minutes[];
  /** By how much the fitting of a short item outlasted inspection: 0 where it did not. */
  mending: Minutes[];
}

type WorkingBetween = (a: Instant, b: Instant) => Minutes;

export function afterLineMinutes({ afterLine, shorts, pastHolds }: ForecastMaterial, workingBetween: WorkingBetween): AfterLineMinutes {
  const latest = [...afterLine].sort((a, b) => a.exit - b.exit).slice(-RECENT_UNITS);
  const released = latest.filter((unit) => unit.released !== null && unit.released >= unit.exit);
  const inspected = released.length < 10 ? 1 : released.filter(({ stays }) => stays.length > 0).length / released.length;
  const lastKept = new Map<string, Instant>();
  const keep = (unit: string, until: Instant | null): void => void (until !== null && lastKept.set(unit, Math.max(until, lastKept.get(unit) ?? until)));
  for (const { unit, cleared } of pastHolds) keep(unit, cleared);
  for (const { unit, fitted } of shorts) keep(unit, fitted);
  const ends = new Map(latest.map((unit) => [unit.unit, inspectionEnd(unit)]));
  return {
    inspected,
    touchUp: latest.flatMap((unit) => (unit.stays[0] ? [touchUpMinutes(unit, latest, workingBetween)] : [])),
    release: released.map((unit) => Math.max(0, workingBetween(Math.min(unit.released!, Math.max(ends.get(unit.unit)!, lastKept.get(unit.unit) ?? 0)), unit.released!))),
    pickUp: released.flatMap((unit) => (unit.gone === null ? [] : [Math.max(0, workingBetween(unit.released!, unit.gone))])),
    mending: shorts.flatMap(({ unit, fitted }) => {
      const end = ends.get(unit);
      return fitted === null || end === undefined ? [] : [Math.max(0, workingBetween(end, fitted))];
    }),
  };
}

function inspectionEnd({ exit, stays }: AfterLineUnit): Instant {
  return stays.at(-1)?.left ?? exit;
}

/**
 * A unit that came as soon as a place fell free was ready some time before: between its turn in the queue (when the one before it came)
 * and then. Half-way is taken, as is common practice for what is only known to lie in an interval; no source.
 */
function touchUpMinutes({ unit, exit, stays }: AfterLineUnit, others: readonly AfterLineUnit[], workingBetween: WorkingBetween): Minutes {
  const { station, arrived } = stays[0]!;
  let before: { arrived: Instant; left: Instant } | null = null;
  for (const other of others) {
    if (other.unit === unit) continue;
    for (const stay of other.stays) {
      if (stay.station !== station || stay.arrived >= arrived || stay.left === null || stay.left > arrived || stay.left <= exit) continue;
      if (before === null || stay.left > before.left) before = { arrived: stay.arrived, left: stay.left };
    }
  }
  if (before === null || workingBetween(before.left, arrived) > AT_ONCE) return workingBetween(exit, arrived);
  const from = Math.max(exit, before.arrived);
  return workingBetween(exit, from) + workingBetween(from, before.left) / 2;
}
