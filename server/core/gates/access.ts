import type { WorkState } from '../facts/quality-state.ts';
import type { UnitState } from '../facts/unit-state.ts';
import type { Plant } from '../setup/plant.ts';
import type { Severity } from '../setup/quality.ts';
import { findStation, routeOf } from '../setup/setup-at.ts';
import type { Minutes } from '../units.ts';

/** Work that is not verified, the gravest first, among equals the one found first. */
export function openWork(work: readonly WorkState[]): WorkState[] {
  const grave = { safety: 0, major: 1, minor: 2 };
  return work.filter(({ status }) => status !== 'verified').sort((a, b) => grave[a.severity] - grave[b.severity] || a.found.at - b.found.at);
}

/** Something that lies in a zone and cannot be reached once the zone is closed: open work, or what the unit left short. */
export interface InZone {
  kind: 'work' | 'short';
  what: string;
  zone: string;
  /** `major` of what was left short. */
  severity: Severity;
}

/** What is open in `zone`, or in any zone, open work first. */
export function openIn(state: UnitState, zone: string | null): InZone[] {
  const lies = <T extends { zone: string | null }>(one: T): one is T & { zone: string } => one.zone !== null && (zone === null || one.zone === zone);
  return [
    ...openWork(state.work).filter(lies).map(({ what, zone: in_, severity }): InZone => ({ kind: 'work', what, zone: in_, severity })),
    ...state.shorts.filter(lies).map(({ what, zone: in_ }): InZone => ({ kind: 'short', what, zone: in_, severity: 'major' })),
  ];
}

/**
 * Where a zone will be closed: the station, how many stations on it is (0: the one where the unit stands), and the standard minutes of its route
 * from where the unit stands until it is finished there.
 */
export interface Covering {
  station: string;
  stations: number;
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
  const ahead = route.slice(standing ? Math.max(from, 0) : from + 1);
  for (const [i, step] of ahead.entries()) {
    minutes += standing && step.station === code ? Math.max(0, step.standard - worked) : step.standard;
    if (findStation(plant, step.station)?.station.covers?.includes(zone)) return { station: step.station, stations: standing && from >= 0 ? i : i + 1, minutes };
  }
  return null;
}

/** Codes of the stations and feeder cells that close `zone`, in the order of the set-up. */
export function coverers(plant: Plant, zone: string): string[] {
  return plant.lines.flatMap(({ stations }) => stations).filter(({ covers }) => covers?.includes(zone)).map(({ code }) => code);
}
