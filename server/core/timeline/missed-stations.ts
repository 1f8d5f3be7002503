import { findLine, routeOf, setupAt } from '../setup/setup-at.ts';
import type { Instant } from '../units.ts';
import type { LineHistory } from './line-history.ts';
import type { Visit } from './visit.ts';

/** Stations of the route between two stays of a unit on the line that were not scanned: shown as such, never as zero minutes. */
export function missedStations({ line: code, setups, units }: LineHistory, at: Instant): Visit[] {
  const missed: Visit[] = [];
  for (const { unit, stays, model, options } of units) {
    const known = stays.filter((stay) => stay.line === code && stay.arrived <= at);
    let passed: string | null = null;
    for (const stay of known) {
      const plant = setupAt(setups, stay.arrived)?.plant;
      const line = plant && findLine(plant, code);
      if (!plant || !line) continue;
      const route = routeOf(plant, line, model || null, options).map((step) => step.station);
      const to = route.indexOf(stay.station);
      for (const station of route.slice(passed === null ? 0 : route.indexOf(passed) + 1, Math.max(0, to))) missed.push(notScanned(unit, code, station));
      if (to >= 0) passed = stay.station;
    }
  }
  return missed;
}

function notScanned(unit: string, line: string, station: string): Visit {
  return {
    unit, line, station, notScanned: true, arrived: null, finished: null, finishAssumed: false, left: null, leftHow: null, provisional: false, standard: 0,
    minutes: { held: 0, blocked: 0, rollLag: 0, stopped: 0, work: 0 }, dwell: 0, elapsed: 0, stationDelay: 0, recovered: 0, state: null, causes: [],
  };
}
