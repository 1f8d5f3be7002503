import { workingTimeOf, type WorkingTime } from '../calendar/working-time.ts';
import { findLine, routeOf, setupAt } from '../setup/setup-at.ts';
import type { Line, Station } from '../setup/plant.ts';
import type { LineHistory, UnitHistory } from '../timeline/line-history.ts';
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

/** The line as it stands at `at`. Null when the set-up has no such line. */
export function lineStateAt(history: LineHistory, visits: readonly Visit[], at: Instant): LineState | null {
  const plant = setupAt(history.setups, at)?.plant;
  const line = plant && findLine(plant, history.line);
  if (!plant || !line) return null;
  const time = workingTimeOf(history.setups, { line: line.code, station: null }, history.floorTime.filter((said) => said.happened <= at));
  const open = new Map(visits.filter((visit) => visit.left === null && !visit.notScanned).map((visit) => [visit.unit, visit]));
  const coming: { unit: ComingUnit; since: Instant; sequence: number }[] = [];
  let lastRelease: Instant | null = null;
  for (const unit of history.units) {
    const stays = unit.stays.filter((stay) => stay.line === line.code && stay.arrived <= at);
    const first = stays[0];
    if (first && (lastRelease === null || first.arrived > lastRelease)) lastRelease = first.arrived;
    if (unit.gone !== null && unit.gone <= at) continue;
    const told = comingUnit(unit, open.get(unit.unit) ?? null);
    if (told) coming.push({ unit: told, since: stays.at(-1)?.arrived ?? Number.POSITIVE_INFINITY, sequence: unit.sequence ?? Number.POSITIVE_INFINITY });
  }
  coming.sort((a, b) => b.unit.reached - a.unit.reached || Number(a.unit.here) - Number(b.unit.here) || compareNumbers(a.since, b.since)
    || compareNumbers(a.sequence, b.sequence) || compareNumbers(a.unit.plannedRelease ?? Infinity, b.unit.plannedRelease ?? Infinity) || (a.unit.unit < b.unit.unit ? -1 : 1));
  return { line, time, units: coming.map(({ unit }) => unit), lastRelease: lastRelease === null ? null : -time.workingBetween(lastRelease, at) };

  function comingUnit(unit: UnitHistory, visit: Visit | null): ComingUnit | null {
    const route = routeOf(plant!, line!, unit.model || null, unit.options).map(({ station, standard }) => ({ station: line!.stations.find((own) => own.code === station)!, standard }));
    const last = unit.stays.filter((stay) => stay.line === line!.code && stay.arrived <= at).at(-1);
    const elsewhere = unit.stays.some((stay) => stay.line !== line!.code && stay.arrived <= at && last !== undefined && stay.arrived > last.arrived);
    const reached = last ? route.findIndex((step) => step.station.code === last.station) : -1;
    const here = visit !== null && reached >= 0 && visit.station === last?.station;
    if (last && (reached < 0 || elsewhere || (!here && reached === route.length - 1))) return null;
    const toDo = here && visit.finished === null ? Math.max(0, visit.standard - visit.minutes.work) : 0;
    const plannedRelease = unit.plannedRelease === null ? null : Math.max(0, time.workingBetween(at, Math.max(at, unit.plannedRelease)));
    return { unit: unit.unit, length: plant!.models.find((model) => model.code === unit.model)?.length ?? 0, route, reached, here, toDo, plannedRelease };
  }
}

function compareNumbers(a: number, b: number): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
