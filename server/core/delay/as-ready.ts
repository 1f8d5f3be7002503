import type { Minutes } from '../units.ts';
import type { ComingUnit, LineState } from './line-state.ts';

/** Planned minutes of a unit at one station of its route. */
export interface PlannedPlace {
  station: string;
  arrive: Minutes;
  finish: Minutes;
  leave: Minutes;
}

interface Leave {
  leave: Minutes;
  length: number;
}

/**
 * Projection at standard of a line on which each unit moves when it can (definitions §5):
 * `arrive = max(0, ready, free)`, `finish = arrive + standard`, `leave = arrive at the next`; at the last station `leave = finish`.
 */
export function projectAsReady(state: LineState): Map<string, PlannedPlace[]> {
  const leaves = new Map<string, Leave[]>();
  const projected = new Map<string, PlannedPlace[]>();
  let released = state.lastRelease;
  for (const unit of state.units) {
    const release: Minutes = Math.max(0, unit.plannedRelease ?? (released === null ? 0 : released + state.line.pace));
    if (unit.reached < 0) released = release;
    projected.set(unit.unit, walk(unit, release, leaves));
  }
  return projected;
}

function walk(unit: ComingUnit, release: Minutes, leaves: Map<string, Leave[]>): PlannedPlace[] {
  const places: PlannedPlace[] = [];
  let ready = unit.reached < 0 ? release : 0;
  for (let j = unit.here ? unit.reached : unit.reached + 1; j < unit.route.length; j++) {
    const { station, standard } = unit.route[j]!;
    const standing = unit.here && j === unit.reached;
    const arrive = standing ? 0 : Math.max(0, ready, freeFrom(station.capacity, station.placeLength, leaves.get(station.code) ?? [], unit.length), turn(unit, j, leaves));
    const finish = standing ? unit.toDo : arrive + standard;
    const before = places.at(-1);
    if (before) before.leave = arrive;
    places.push({ station: station.code, arrive, finish, leave: finish });
    ready = finish;
  }
  const last = places.at(-1);
  if (last) last.leave = Math.max(last.leave, turn(unit, unit.route.length, leaves));
  for (const { station, leave } of places) {
    const others = leaves.get(station);
    if (others) others.push({ leave, length: unit.length });
    else leaves.set(station, [{ leave, length: unit.length }]);
  }
  return places;
}

/** When a place is free for one more: the (k - c)-th leave of those before it; by length, when what still stands there leaves room. */
function freeFrom(capacity: number | null, placeLength: number | null, before: readonly Leave[], length: number): Minutes {
  const byLeave = [...before].sort((a, b) => a.leave - b.leave);
  if (placeLength === null) return byLeave[before.length - (capacity ?? 1)]?.leave ?? 0;
  let standing = byLeave.reduce((sum, other) => sum + other.length, 0);
  let from = 0;
  for (const other of byLeave) {
    if (standing + length <= placeLength) break;
    standing -= other.length;
    from = other.leave;
  }
  return from;
}

/** Where units may not pass, a unit leaves the station before `j` after those that came to it before. */
function turn(unit: ComingUnit, j: number, leaves: Map<string, Leave[]>): Minutes {
  const from = unit.route[j - 1]?.station;
  if (!from || from.unitsMayPass) return 0;
  return Math.max(0, ...(leaves.get(from.code) ?? []).map((other) => other.leave));
}
