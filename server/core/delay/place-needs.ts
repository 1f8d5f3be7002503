import { leaveOf } from '../timeline/occupancy.ts';
import type { Station } from '../setup/plant.ts';
import { sizeAt } from './coming-order.ts';
import type { Plan, Step } from './plan.ts';

/** Steps that came to the station before, of which enough must have left, and the room at the station for this coming. */
export type PlaceNeed = { before: number[]; room: number } | undefined;

/**
 * What each step needs of the places of its station, the order of coming and what really stood there at each coming given. A station with one place needs only the leave of the one
 * before, pushed onto `leaves`; so does, where units may not pass, the leave of those that came before to the station before.
 */
export function placeNeeds(plan: Plan, order: readonly (readonly number[])[], stood: Float64Array, next: Int32Array, parted: Uint8Array, leaves: number[][]): PlaceNeed[] {
  const { line, steps, units } = plan;
  const needs: PlaceNeed[] = [];
  order.forEach((own, s) => {
    const station = line.stations[s]!;
    const sizeOf = (step: number): number => sizeAt(station, units[steps[step]!.unit]!);
    const limit = station.placeLength ?? station.capacity ?? 1;
    const rooms = own.map((step) => Math.max(limit, stood[step]!));
    const single = station.placeLength === null && limit === 1;
    const inTurn = !station.unitsMayPass && leaveInTurn(steps, own, parted);
    own.forEach((step, k) => {
      if (k > 0 && !steps[step]!.standing) {
        if (single && rooms[k] === 1 && rooms[k - 1] === 1) leaves[step]!.push(own[k - 1]!);
        else needs[step] = { before: own.slice(single ? lastSingles(rooms, k) : inTurn ? lastToFill(own, k, rooms[k]!, sizeOf) : 0, k), room: rooms[k]! };
      }
      const after = next[step]!;
      if (mayLeaveFirst(station, parted, step) || after < 0) return;
      for (const other of own.slice(inTurn ? Math.max(0, k - 1) : 0, k)) if (!reallyPassed(steps[step]!, steps[other]!)) leaves[after]!.push(other);
    });
  });
  return needs;
}

const mayLeaveFirst = (station: Station, parted: Uint8Array, step: number): boolean => station.unitsMayPass || parted[step] === 1;

/** Each leaves after all that came before it. */
function leaveInTurn(steps: readonly Step[], own: readonly number[], parted: Uint8Array): boolean {
  let last = 0;
  for (const step of own) {
    const { visit } = steps[step]!;
    if (parted[step] === 1) return false;
    if (!visit) continue;
    if (leaveOf(visit.stay) < last) return false;
    last = leaveOf(visit.stay);
  }
  return true;
}

/** At a station of one place, each that came to it alone leaves after all before it: those before as many such as there is room for matter no more. */
function lastSingles(rooms: readonly number[], k: number): number {
  let singles = 0;
  let from = k;
  while (from > 0 && singles < rooms[k]!) if (rooms[--from] === 1) singles++;
  return from;
}

/** Of units that leave in turn only the last ones, as many as fill the station, matter. */
function lastToFill(own: readonly number[], k: number, room: number, sizeOf: (step: number) => number): number {
  let from = k;
  for (let filled = 0; from > 0 && filled <= room; ) filled += sizeOf(own[--from]!);
  return from;
}

/** The floor may have let one pass where none may. */
function reallyPassed(step: Step, other: Step): boolean {
  if (!step.visit || step.visit.stay.left === null || !other.visit) return false;
  return other.came <= step.came && leaveOf(other.visit.stay) > step.visit.stay.left;
}
