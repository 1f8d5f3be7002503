import type { WorkingTime } from '../calendar/working-time.ts';
import { findLine, routeOf, type RouteStep, setupAt } from '../setup/setup-at.ts';
import type { SetupVersion } from '../setup/plant.ts';
import type { Instant } from '../units.ts';
import type { LineHistory, Stay } from './line-history.ts';
import type { Visit } from './visit.ts';

/** No unit is that long on its way along a line: a plant that has been set up for longer saw it come. Common practice, no source. */
const LONGEST_WAY_MS = 90 * 86_400_000;

/**
 * Stations of the route that a unit passed and that were not scanned: shown as such, never as zero minutes (definitions §3). Those before
 * its first stay are told only as far as the plant was already set up when the unit, at standard, came to them: what it passed before the
 * log began was not missed by anybody.
 */
export function missedStations({ line: code, setups, units }: LineHistory, at: Instant, timeOf: (station: string) => WorkingTime): Visit[] {
  const missed: Visit[] = [];
  for (const { unit, stays, model, options } of units) {
    const known = stays.filter((stay) => stay.line === code && stay.arrived <= at);
    let passed: string | null = null;
    for (const stay of known) {
      const plant = setupAt(setups, stay.arrived)?.plant;
      const line = plant && findLine(plant, code);
      if (!plant || !line) continue;
      const route = routeOf(plant, line, model || null, options);
      const to = route.findIndex((step) => step.station === stay.station);
      if (to < 0) continue;
      const from = passed === null ? firstSeen(route, to, stay, setups, timeOf) : route.findIndex((step) => step.station === passed) + 1;
      for (const { station } of route.slice(from, to)) missed.push(notScanned(unit, code, station));
      passed = stay.station;
    }
  }
  return missed;
}

/** Index on the route of the first station to which the unit came, at standard, when the plant was set up; `to` is that of its first stay. */
function firstSeen(route: readonly RouteStep[], to: number, { arrived, station }: Stay, setups: readonly SetupVersion[], timeOf: (station: string) => WorkingTime): number {
  const begin = Math.min(...setups.map(({ validFrom }) => validFrom));
  if (arrived - begin > LONGEST_WAY_MS) return 0;
  const seen = timeOf(station).workingBetween(begin, arrived);
  let way = 0;
  for (let index = to; index > 0; index--) {
    way += route[index - 1]!.standard;
    if (way > seen) return index;
  }
  return 0;
}

function notScanned(unit: string, line: string, station: string): Visit {
  return {
    unit, line, station, notScanned: true, arrived: null, finished: null, finishAssumed: false, left: null, leftHow: null, provisional: false, standard: 0,
    minutes: { held: 0, blocked: 0, rollLag: 0, stopped: 0, work: 0 }, dwell: 0, elapsed: 0, stationDelay: 0, recovered: 0, state: null, causes: [],
  };
}
