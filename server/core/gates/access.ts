import type { WorkState } from '../facts/quality-state.ts';
import type { UnitState } from '../facts/unit-state.ts';
import type { Plant } from '../setup/plant.ts';
import { findStation, routeOf } from '../setup/setup-at.ts';
import type { Minutes } from '../units.ts';

/** Work that is not verified, the gravest first, among equals the one found first. */
export function openWork(work: readonly WorkState[]): WorkState[] {
  const grave = { safety: 0, major: 1, minor: 2 };
  return work.filter(({ status }) => status !== 'verified').sort((a, b) => grave[a.severity] - grave[b.severity] || a.found.at - b.found.at);
}

/** Where a zone will be closed: the station, and the standard minutes of its route from where the unit stands until it is finished there. */
export interface Covering {
  station: string;
  minutes: Minutes;
}

/**
 * The next station on the unit's route that covers `zone`, from the one it stands at on; null when none is ahead. `worked` are the minutes of
 * work it has had where it stands. Minutes are at standard, without waiting: what is left at least.
 */
export function nextCovering(plant: Plant, state: UnitState, zone: string, worked: Minutes): Covering | null {
  const code = state.place?.line ? state.place.station : state.lastStation;
  const line = (code === null ? null : findStation(plant, code)?.line) ?? plant.lines.find(({ purpose }) => purpose === 'main');
  if (!line) return null;
  const route = routeOf(plant, line, state.model, state.options);
  const from = route.findIndex(({ station }) => station === code);
  const standing = state.place?.line === line.code;
  let minutes = 0;
  for (const step of route.slice(standing ? Math.max(from, 0) : from + 1)) {
    minutes += standing && step.station === code ? Math.max(0, step.standard - worked) : step.standard;
    if (findStation(plant, step.station)?.station.covers?.includes(zone)) return { station: step.station, minutes };
  }
  return null;
}
