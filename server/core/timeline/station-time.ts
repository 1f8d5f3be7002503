import { type WorkingTime, workingTimeOf } from '../calendar/working-time.ts';
import { findLine, routeOf, setupAt } from '../setup/setup-at.ts';
import type { Instant, Minutes } from '../units.ts';
import type { LineHistory, UnitHistory } from './line-history.ts';
import { leaveOf, occupancyOf, type Occupancy, stationAt, staysDuring } from './occupancy.ts';

/** Minutes of free places of a station: of two free places each minute counts twice. */
export interface StationTime {
  station: string;
  starved: Minutes;
  idle: Minutes;
}

/** What stretch of time a unit that has been released still has each station ahead of it. */
interface Ahead {
  from: Instant;
  to: Instant;
}

/**
 * Starved and idle minutes of every station of the line over [from, to) (definitions §3): a free place in working time is starved
 * while a unit that has come onto the line still has the station ahead on its route, else idle. A place measured by length counts as one.
 */
export function stationTime(history: LineHistory, from: Instant, to: Instant): StationTime[] {
  const plant = setupAt(history.setups, to)?.plant;
  const line = plant && findLine(plant, history.line);
  if (!line) return [];
  const occupancy = occupancyOf(history, to);
  const floorTime = history.floorTime.filter((said) => said.happened <= to);
  return line.stations.map(({ code }) => {
    const ahead = history.units.flatMap((unit) => aheadOf(history, unit, code, to));
    return { station: code, ...freeMinutes(history, occupancy, code, ahead, from, to, workingTimeOf(history.setups, { line: line.code, station: code }, floorTime)) };
  });
}

/** From its release until it comes to the station, or to one behind it on its route, or is gone. */
function aheadOf({ setups, line: code }: LineHistory, unit: UnitHistory, station: string, to: Instant): Ahead[] {
  const stays = unit.stays.filter((stay) => stay.line === code && stay.arrived <= to);
  const first = stays[0];
  const plant = first && setupAt(setups, first.arrived)?.plant;
  const line = plant && findLine(plant, code);
  if (!first || !plant || !line) return [];
  const route = routeOf(plant, line, unit.model || null, unit.options).map((step) => step.station);
  const position = route.indexOf(station);
  if (position < 0) return [];
  const came = stays.find((stay) => route.indexOf(stay.station) >= position)?.arrived ?? Number.POSITIVE_INFINITY;
  return [{ from: first.arrived, to: Math.min(came, unit.gone ?? Number.POSITIVE_INFINITY) }];
}

function freeMinutes(
  { setups }: LineHistory, occupancy: Occupancy, code: string, ahead: readonly Ahead[], from: Instant, to: Instant, time: WorkingTime,
): { starved: Minutes; idle: Minutes } {
  const stays = staysDuring(occupancy, code, from, to);
  const edges = [from, to, ...stays.flatMap((stay) => [stay.arrived, leaveOf(stay)]), ...ahead.flatMap((stretch) => [stretch.from, stretch.to]), ...setups.map((setup) => setup.validFrom)];
  const sorted = [...new Set(edges)].filter((edge) => edge >= from && edge <= to).sort((a, b) => a - b);
  const minutes = { starved: 0, idle: 0 };
  sorted.slice(1).forEach((end, i) => {
    const start = sorted[i]!;
    const taken = stays.filter((stay) => stay.arrived <= start && start < leaveOf(stay)).length;
    const free = Math.max(0, (stationAt(setups, start, code)?.capacity ?? 1) - taken);
    if (free === 0) return;
    const wanted = ahead.some((stretch) => stretch.from <= start && start < stretch.to);
    minutes[wanted ? 'starved' : 'idle'] += free * time.workingBetween(start, end);
  });
  return minutes;
}
