import { workingTimeOf, type WorkingTime } from '../calendar/working-time.ts';
import { findLine, routeOf, setupAt } from '../setup/setup-at.ts';
import type { Line, Plant, Station } from '../setup/plant.ts';
import type { LineHistory, Stay, UnitHistory } from '../timeline/line-history.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Instant, Minutes } from '../units.ts';

/** A unit that is on the line, or still to come to it. Minutes are working minutes of the line after the instant asked for. */
export interface ComingUnit {
  unit: string;
  length: number;
  route: { station: Station; standard: Minutes }[];
  /** Index on its route of the last station it came to; -1 before its release. */
  reached: number;
  /** It stands at that station; else it is on its way to the next one, or off the line. */
  here: boolean;
  /** What is left to do where it stands: 0 when it is finished. */
  toDo: Minutes;
  plannedRelease: Minutes | null;
}

/** The state of a line from which it is projected (definitions §5). */
export interface LineState {
  line: Line;
  time: WorkingTime;
  /** In the order in which they come to each station: those farthest along first, then those to be released. */
  units: ComingUnit[];
  /** When the last unit that was released came, at or before 0; null when none was. */
  lastRelease: Minutes | null;
}

/** What the state needs to know of a visit that is open: what work was done so far, and whether it is finished. */
export type StandingVisit = Pick<Visit, 'unit' | 'station' | 'left' | 'notScanned' | 'finished' | 'standard'> & { minutes: Pick<Visit['minutes'], 'work'> };

interface Standing {
  plant: Plant;
  line: Line;
  time: WorkingTime;
  at: Instant;
}

/** The line as it stands at `at`. Null when the set-up has no such line. */
export function lineStateAt(history: LineHistory, visits: readonly StandingVisit[], at: Instant): LineState | null {
  const plant = setupAt(history.setups, at)?.plant;
  const line = plant && findLine(plant, history.line);
  if (!plant || !line) return null;
  const time = workingTimeOf(history.setups, { line: line.code, station: null }, history.floorTime.filter((said) => said.happened <= at));
  const open = new Map(visits.filter((visit) => visit.left === null && !visit.notScanned).map((visit) => [visit.unit, visit]));
  const position = new Map(line.stations.map((station, i) => [station.code, i]));
  const coming: { unit: ComingUnit; along: number; since: Instant; sequence: number }[] = [];
  let lastRelease: Instant | null = null;
  for (const unit of history.units) {
    const stays = unit.stays.filter((stay) => stay.line === line.code && stay.arrived <= at);
    const first = stays[0];
    if (first && (lastRelease === null || first.arrived > lastRelease)) lastRelease = first.arrived;
    if (unit.gone !== null && unit.gone <= at) continue;
    const last = stays.findLast((stay) => position.has(stay.station)) ?? null;
    const told = comingUnit({ plant, line, time, at }, unit, last, open.get(unit.unit) ?? null);
    if (!told) continue;
    coming.push({ unit: told, along: last ? position.get(last.station)! : -1, since: last?.arrived ?? Number.POSITIVE_INFINITY, sequence: unit.sequence ?? Number.POSITIVE_INFINITY });
  }
  coming.sort((a, b) => b.along - a.along || Number(a.unit.here) - Number(b.unit.here) || compareNumbers(a.since, b.since)
    || compareNumbers(a.sequence, b.sequence) || compareNumbers(a.unit.plannedRelease ?? Infinity, b.unit.plannedRelease ?? Infinity) || (a.unit.unit < b.unit.unit ? -1 : 1));
  return { line, time, units: coming.map(({ unit }) => unit), lastRelease: lastRelease === null ? null : -time.workingBetween(lastRelease, at) };
}

/** Null for a unit that does not come to any station of the line any more. */
function comingUnit({ plant, line, time, at }: Standing, unit: UnitHistory, last: Stay | null, visit: StandingVisit | null): ComingUnit | null {
  const position = (code: string): number => line.stations.findIndex((own) => own.code === code);
  const route = routeOf(plant, line, unit.model || null, unit.options).map(({ station, standard }) => ({ station: line.stations[position(station)]!, standard }));
  let reached = last ? route.findIndex((step) => step.station.code === last.station) : -1;
  if (last && reached < 0) {
    // It came to a station that is not on its route: from there it goes on to the first one of its route behind it.
    reached = route.filter((step) => position(step.station.code) < position(last.station)).length;
    route.splice(reached, 0, { station: line.stations[position(last.station)]!, standard: 0 });
  }
  const elsewhere = last !== null && unit.stays.some((stay) => stay.line !== line.code && !isFeeder(plant, stay.line) && stay.arrived <= at && stay.arrived > last.arrived);
  const here = visit !== null && visit.station === last?.station;
  if (last && (elsewhere || (!here && reached === route.length - 1))) return null;
  const toDo = here && visit.finished === null ? Math.max(0, visit.standard - visit.minutes.work) : 0;
  const plannedRelease = unit.plannedRelease === null ? null : Math.max(0, time.workingBetween(at, Math.max(at, unit.plannedRelease)));
  return { unit: unit.unit, length: lengthOf(plant, unit), route, reached, here, toDo, plannedRelease };
}

/** A part of the unit on a feeder line says nothing of where its body is. */
export function isFeeder(plant: Plant, line: string): boolean {
  return findLine(plant, line)?.purpose === 'feeder';
}

export function lengthOf(plant: Plant, unit: UnitHistory): number {
  return plant.models.find((model) => model.code === unit.model)?.length ?? 0;
}

function compareNumbers(a: number, b: number): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
