import { leaveOf } from '../timeline/occupancy.ts';
import type { Plan, Step } from './plan.ts';

/** Steps that came to the station before, of which enough must have left, and the room at the station for this coming. */
export type PlaceNeed = { before: number[]; room: number } | undefined;

/**
 * What each step needs of the places of its station, the order of coming given. A station with one place needs only the leave of the one
 * before, pushed onto `leaves`; so does, where units may not pass, the leave of all that came before to the station before.
 */
export function placeNeeds(plan: Plan, order: readonly (readonly number[])[], next: Int32Array, parted: Uint8Array, leaves: number[][]): PlaceNeed[] {
  const { line, steps, units } = plan;
  const needs: PlaceNeed[] = [];
  order.forEach((own, s) => {
    const station = line.stations[s]!;
    const sizeOf = (step: number): number => (station.placeLength === null ? 1 : units[steps[step]!.unit]!.length);
    const limit = station.placeLength ?? station.capacity ?? 1;
    const rooms = own.map((step, k) => Math.max(limit, roomReallyTaken(steps, own, k, sizeOf)));
    const single = station.placeLength === null && rooms.every((room) => room === 1);
    own.forEach((step, k) => {
      if (k > 0 && !steps[step]!.standing) {
        if (single) leaves[step]!.push(own[k - 1]!);
        else needs[step] = { before: own.slice(0, k), room: rooms[k]! };
      }
      const after = next[step]!;
      if (station.unitsMayPass || parted[step] === 1 || after < 0) return;
      for (const other of own.slice(0, k)) if (!reallyPassed(steps[step]!, steps[other]!)) leaves[after]!.push(other);
    });
  });
  return needs;
}

/** The floor may have set more units there than the station has places for. */
function roomReallyTaken(steps: readonly Step[], own: readonly number[], k: number, sizeOf: (step: number) => number): number {
  const { came, visit } = steps[own[k]!]!;
  if (!visit) return 0;
  let room = sizeOf(own[k]!);
  for (let i = 0; i < k; i++) {
    const other = steps[own[i]!]!.visit;
    if (other && other.stay.of !== visit.stay.of && steps[own[i]!]!.came <= came && leaveOf(other.stay) > came) room += sizeOf(own[i]!);
  }
  return room;
}

function reallyPassed(step: Step, other: Step): boolean {
  if (!step.visit || step.visit.stay.left === null || !other.visit) return false;
  return other.came <= step.came && leaveOf(other.visit.stay) > step.visit.stay.left;
}
