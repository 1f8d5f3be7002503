import { type WorkingTime, workingTimeOf } from '../calendar/working-time.ts';
import { findLine, setupAt } from '../setup/setup-at.ts';
import type { LineHistory } from '../timeline/line-history.ts';
import { stationTime } from '../timeline/station-time.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Instant, Minutes } from '../units.ts';
import { blockedBetween } from './blocked-minutes.ts';

/**
 * Working minutes of one place of a station over a period: of two places, the mean; a place measured by length counts as one, blocked at
 * most all the while.
 */
export interface StationLoad {
  station: string;
  starved: Minutes;
  idle: Minutes;
  blocked: Minutes;
}

export interface LineConstraint {
  from: Instant;
  to: Instant;
  /** Null where no station had a minute of work to give. */
  station: string | null;
  /** Whether the stations before it were blocked more than starved and those behind it starved more than blocked. */
  turningPoint: boolean;
  /** In the order of the line. */
  loads: StationLoad[];
}

/**
 * The constraint of the line in each period: the station that was least without a unit and blocked together, the first of equals. It is
 * the turning point when before it blocking prevails and behind it being without a unit. Source, from memory and not opened: L. Li,
 * Q. Chang, J. Ni, "Data driven bottleneck detection of manufacturing systems", Int. J. Production Research 47 (2009), whose turning point
 * this is; they ask for both, here the first alone names the station and the second is told beside it. Their starving asks not whether
 * anything was released, so that it is starved and idle together (definitions §3): a station at which nothing happened is no constraint.
 * `visits` are those of `history` told at `at`; periods end at `at` or before.
 */
export function lineConstraints(history: LineHistory, visits: readonly Visit[], at: Instant, periods: readonly { from: Instant; to: Instant }[]): LineConstraint[] {
  const times = new Map<string, WorkingTime>();
  const timeOf = (station: string): WorkingTime => {
    const time = times.get(station) ?? workingTimeOf(history.setups, { line: history.line, station }, history.floorTime);
    times.set(station, time);
    return time;
  };
  return periods.map(({ from, to }) => {
    const loads = stationLoads(history, visits, at, from, to, timeOf);
    const worked = loads.some(({ station }) => timeOf(station).workingBetween(from, to) > 0) && visits.some((visit) => overlaps(visit, from, to));
    return constraintOf(from, to, loads, worked);
  });
}

/** The constraint by what each station lost, in the order of the line; null where nothing `worked`. */
export function constraintOf(from: Instant, to: Instant, loads: StationLoad[], worked: boolean): LineConstraint {
  const least = worked && loads.length > 0 ? loads.reduce((best, load) => (without(load) + load.blocked < without(best) + best.blocked - 1e-9 ? load : best)) : null;
  return { from, to, station: least?.station ?? null, turningPoint: least !== null && isTurningPoint(loads, loads.indexOf(least)), loads };
}

/** Several periods, one after the other, as one: what each station lost is added up. */
export function joinedConstraint(parts: readonly LineConstraint[]): LineConstraint | null {
  const [first, last] = [parts[0], parts.at(-1)];
  if (!first || !last) return null;
  const loads = new Map<string, StationLoad>();
  for (const { station, starved, idle, blocked } of parts.flatMap((part) => part.loads)) {
    const sum = loads.get(station) ?? { station, starved: 0, idle: 0, blocked: 0 };
    loads.set(station, { station, starved: sum.starved + starved, idle: sum.idle + idle, blocked: sum.blocked + blocked });
  }
  return constraintOf(first.from, last.to, [...loads.values()], parts.some(({ station }) => station !== null));
}

const without = ({ starved, idle }: StationLoad): Minutes => starved + idle;
const overlaps = (visit: Visit, from: Instant, to: Instant): boolean => visit.arrived !== null && visit.arrived < to && (visit.left ?? Number.POSITIVE_INFINITY) > from;

function stationLoads(
  history: LineHistory, visits: readonly Visit[], at: Instant, from: Instant, to: Instant, timeOf: (station: string) => WorkingTime,
): StationLoad[] {
  const plant = setupAt(history.setups, to)?.plant;
  const stations = (plant && findLine(plant, history.line)?.stations) ?? [];
  const units = new Map(history.units.map((unit) => [unit.unit, unit]));
  const blocked = new Map<string, Minutes>();
  for (const visit of visits) {
    const unit = units.get(visit.unit);
    if (!unit || !overlaps(visit, from, to)) continue;
    const minutes = blockedBetween(history, unit, visit, timeOf(visit.station), visit.left ?? at, from, to);
    blocked.set(visit.station, (blocked.get(visit.station) ?? 0) + minutes);
  }
  return stationTime(history, from, to).map(({ station, starved, idle }) => {
    const places = stations.find((own) => own.code === station)?.capacity ?? 1;
    const most = timeOf(station).workingBetween(from, to);
    return { station, starved: starved / places, idle: idle / places, blocked: Math.min(most, (blocked.get(station) ?? 0) / places) };
  });
}

function isTurningPoint(loads: readonly StationLoad[], index: number): boolean {
  return loads.every((load, i) => i === index || (i < index ? load.blocked > without(load) : without(load) > load.blocked));
}

/** The periods in which the constraint stood elsewhere than in the period with one before. */
export function constraintMoves(constraints: readonly LineConstraint[]): { at: Instant; from: string; to: string }[] {
  const known = constraints.filter((constraint) => constraint.station !== null);
  return known.slice(1).flatMap(({ from: at, station }, i) => (station === known[i]!.station ? [] : [{ at, from: known[i]!.station!, to: station! }]));
}
