import type { WorkingTime } from '../calendar/working-time.ts';
import { findLine, nextOnRoute, routeOf, type RouteStep, setupAt } from '../setup/setup-at.ts';
import type { Instant } from '../units.ts';
import type { HoldInterval, LineHistory, StopInterval } from './line-history.ts';
import type { LineStay, Occupancy } from './occupancy.ts';

/** What one derivation of a line shares. */
export interface Derivation {
  history: LineHistory;
  at: Instant;
  occupancy: Occupancy;
  stopsOf: ReadonlyMap<string, readonly StopInterval[]>;
  lineTime: WorkingTime;
  timeOf(station: string): WorkingTime;
  /** On a line that rolls together: when all were ready, by the instant of the roll. One roll ends a visit at every station. */
  readyAt: Map<Instant, Instant>;
}

/** The station's standard minutes and the station ahead, by the set-up in force when the unit arrived. */
export function stepOf({ setups, line: code }: LineHistory, stay: LineStay): { step: RouteStep | null; next: string | null; together: boolean } {
  const plant = setupAt(setups, stay.arrived)?.plant;
  const line = plant && findLine(plant, code);
  if (!plant || !line) return { step: null, next: null, together: false };
  const route = routeOf(plant, line, stay.of.model || null, stay.of.options);
  return { step: route.find((step) => step.station === stay.station) ?? null, next: nextOnRoute(route, stay.station), together: line.roll === 'together' };
}

/** Whether a hold keeps a finished unit where it stands, `next` being the station ahead. */
export function keepsHere(hold: HoldInterval, next: string | null): boolean {
  return hold.keepsFrom === 'work' || hold.keepsFrom === 'leaving' || (hold.keepsFrom === 'station' && hold.fromStation === next);
}

export function byStation(stops: readonly StopInterval[]): Map<string, StopInterval[]> {
  const grouped = new Map<string, StopInterval[]>();
  for (const stop of stops) {
    const own = grouped.get(stop.station);
    if (own) own.push(stop);
    else grouped.set(stop.station, [stop]);
  }
  return grouped;
}
