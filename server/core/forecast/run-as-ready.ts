import type { CompiledLine } from './compiled-line.ts';
import { createLineSteps, type LineRunner } from './run-line.ts';
import { type RunMemory, vectorAfter } from './run-memory.ts';
import type { Runs } from './runs.ts';

/** How a station takes units in. */
const Place = { unlimited: 0, one: 1, several: 2, byLength: 3 } as const;

/** The places of the line's stations: coming to one, and leaving it. */
interface Places {
  /** The vector of when station s has a place, where one number of the latest leaves says so. */
  free: Int32Array;
  /** The unit comes to station `s` from `before` (-1: from none), in its turn and when there is a place. */
  comeTo(unit: number, s: number, before: number): void;
  /** It leaves station `s` when it is ready, in its turn where units may not pass. */
  leave(unit: number, s: number): void;
}

function kindsOfPlace({ stations }: CompiledLine): Int32Array {
  return Int32Array.from(stations.capacity, (capacity, s) => {
    if (!Number.isNaN(stations.placeLength[s]!)) return Place.byLength;
    return capacity === 0 ? Place.unlimited : capacity === 1 ? Place.one : Place.several;
  });
}

function createPlaces({ units, stations }: CompiledLine, kinds: Int32Array, at: RunMemory, runs: Runs): Places {
  // With fewer units than places there is always a free one.
  const free = Int32Array.from(kinds, (kind, s) => (kind === Place.unlimited || stations.kept[s]! < stations.capacity[s]! ? at.zeros : vectorAfter(at.leaves[s]!, Math.max(0, stations.kept[s]! - 1))));
  const leave = (unit: number, s: number): void => {
    const ready = at.ready[unit]!;
    if (stations.mayPass[s] === 0) runs.laterOf(ready, at.leaves[s]!);
    if (kinds[s] === Place.byLength) runs.insertWithLength(at.leaves[s]!, at.lengths[s]!, stations.kept[s]!, ready, units.length[unit]!);
    else if (stations.kept[s]! > 0) runs.insert(at.leaves[s]!, stations.kept[s]!, ready);
  };
  return {
    free, leave,
    comeTo(unit, s, before) {
      const ready = at.ready[unit]!;
      if (kinds[s] === Place.byLength) {
        runs.freeByLength(at.scratch, at.leaves[s]!, at.lengths[s]!, stations.kept[s]!, units.length[unit]!, stations.placeLength[s]!);
        runs.laterOf(ready, at.scratch);
      } else runs.laterOf(ready, free[s]!);
      if (before >= 0) leave(unit, before);
    },
  };
}

/** Steps for which one loop does all there is: the place is that after one leave, and nothing is known of the unit yet at this station and the one before. */
function plainSteps({ steps, stations, wallClock }: CompiledLine, kinds: Int32Array): Uint8Array {
  const simple = (s: number): boolean => kinds[s] === Place.one || kinds[s] === Place.unlimited;
  const firsts = new Set(steps.first);
  return Uint8Array.from(steps.station, (s, k) => {
    if (wallClock || steps.standing[k] === 1 || !simple(s)) return 0;
    if (firsts.has(k)) return 1;
    const before = steps.station[k - 1]!;
    // A unit that stands with others where there is one place must not hide their later leave; one that came in its turn cannot.
    return Number(steps.standing[k - 1] === 0 && simple(before) && (kinds[before] === Place.one || stations.mayPass[before] === 1));
  });
}

/**
 * A line on which each unit moves when it can (definitions §5): `arrive = max(now, ready, free)`, free being the (k - c)-th leave of those who
 * came before, that is the c-th latest; `finish = arrive + work`; `leave` = arrive at the next.
 */
export function createAsReadyRunner(compiled: CompiledLine, at: RunMemory, runs: Runs): LineRunner {
  const { units, steps, stations, calendars, wallClock } = compiled;
  const line = createLineSteps(compiled, at, runs);
  const kinds = kindsOfPlace(compiled);
  const places = createPlaces(compiled, kinds, at, runs);
  const plainly = plainSteps(compiled, kinds);

  const work = (unit: number, k: number): void => {
    const s = steps.station[k]!;
    runs.draw(at.scratch, line.visit(k));
    if (!wallClock) return runs.add(at.ready[unit]!, at.scratch, s);
    line.troubles(unit, k, at.scratch);
    runs.addOnCalendar(at.ready[unit]!, at.scratch, calendars[stations.calendar[s]!]!, s);
  };
  const visit = (unit: number, k: number, before: number): void => {
    const s = steps.station[k]!;
    const ready = at.ready[unit]!;
    line.holdBack(unit, k);
    if (plainly[k] === 1) runs.advance(ready, places.free[s]!, before >= 0 && kinds[before] === Place.one ? at.leaves[before]! : at.unread, line.visit(k), s);
    else {
      if (steps.standing[k] === 0) places.comeTo(unit, s, before);
      work(unit, k);
    }
    if (!wallClock) line.troubles(unit, k, ready);
  };
  const leaveTheLine = (unit: number, k: number): void => {
    const s = steps.station[k]!;
    line.holdBack(unit, k + 1);
    if (plainly[k] === 1 && kinds[s] === Place.one) runs.copy(at.leaves[s]!, at.ready[unit]!);
    else places.leave(unit, s);
  };
  return {
    holdInto: line.holdInto,
    run(part) {
      line.begin(part);
      for (let u = 0; u < units.names.length; u++) {
        runs.fill(at.ready[u]!, units.release[u]!);
        if (wallClock) runs.toWall(at.ready[u]!, calendars[0]!);
        const [first, end] = [steps.first[u]!, steps.first[u + 1]!];
        for (let k = first; k < end; k++) visit(u, k, k > first ? steps.station[k - 1]! : -1);
        if (end > first) leaveTheLine(u, end - 1);
        else line.holdBack(u, end);
      }
    },
  };
}
