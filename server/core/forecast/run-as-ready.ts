import type { CompiledLine } from './compiled-line.ts';
import { createLineSteps, type LineRunner } from './run-line.ts';
import { type RunMemory, vectorAfter } from './run-memory.ts';
import type { Runs } from './runs.ts';

/** How a station takes units in. */
const Place = { unlimited: 0, one: 1, several: 2, byLength: 3 } as const;

/**
 * A line on which each unit moves when it can (definitions §5): `arrive = max(now, ready, free)`, free being the (k - c)-th leave of those who
 * came before, that is the c-th latest; `finish = arrive + work`; `leave` = arrive at the next.
 */
export function createAsReadyRunner(compiled: CompiledLine, at: RunMemory, runs: Runs): LineRunner {
  const { units, steps, stations, calendars, wallClock } = compiled;
  const line = createLineSteps(compiled, at, runs);
  const placeOf = Int32Array.from(stations.capacity, (capacity, s) => (!Number.isNaN(stations.placeLength[s]!) ? Place.byLength : capacity === 0 ? Place.unlimited : capacity === 1 ? Place.one : Place.several));
  const vectorOfFree = (s: number): number => (placeOf[s] === Place.unlimited ? at.zeros : vectorAfter(at.leaves[s]!, Math.max(0, stations.kept[s]! - 1)));
  // With fewer units than places there is always a free one.
  const free = Int32Array.from(placeOf, (place, s) => (place === Place.several && stations.kept[s]! < stations.capacity[s]! ? at.zeros : vectorOfFree(s)));

  const leaveFrom = (unit: number, s: number): void => {
    if (placeOf[s] === Place.byLength) runs.insertWithLength(at.leaves[s]!, at.lengths[s]!, stations.kept[s]!, at.ready[unit]!, units.length[unit]!);
    else if (stations.kept[s]! > 0) runs.insert(at.leaves[s]!, stations.kept[s]!, at.ready[unit]!);
  };
  /** The unit comes to station `s` from `before` (-1: from none), in its turn and when there is a place. */
  const comeTo = (unit: number, s: number, before: number): void => {
    const ready = at.ready[unit]!;
    if (placeOf[s] === Place.byLength) {
      runs.freeByLength(at.scratch, at.leaves[s]!, at.lengths[s]!, stations.kept[s]!, units.length[unit]!, stations.placeLength[s]!);
      runs.laterOf(ready, at.scratch);
    } else runs.laterOf(ready, free[s]!);
    if (before >= 0) leave(unit, before);
  };
  /** In its turn, where units may not pass. */
  const leave = (unit: number, s: number): void => {
    if (stations.mayPass[s] === 0) runs.laterOf(at.ready[unit]!, at.leaves[s]!);
    leaveFrom(unit, s);
  };
  const work = (unit: number, k: number): void => {
    const s = steps.station[k]!;
    runs.draw(at.scratch, line.visit(k));
    if (!wallClock) return runs.add(at.ready[unit]!, at.scratch, s);
    line.troubles(unit, k, at.scratch);
    runs.addOnCalendar(at.ready[unit]!, at.scratch, calendars[stations.calendar[s]!]!, s);
  };
  const simple = (s: number): boolean => placeOf[s] === Place.one || placeOf[s] === Place.unlimited;
  const firsts = new Set(steps.first);
  const plainly = Uint8Array.from(steps.station, (s, k) => {
    if (wallClock || steps.standing[k] === 1 || !simple(s)) return 0;
    if (firsts.has(k)) return 1;
    const before = steps.station[k - 1]!;
    // A unit that stands with others where there is one place must not hide their later leave; one that came in its turn cannot.
    return Number(steps.standing[k - 1] === 0 && simple(before) && (placeOf[before] === Place.one || stations.mayPass[before] === 1));
  });

  const leaveTheLine = (unit: number, k: number): void => {
    const s = steps.station[k]!;
    if (plainly[k] === 1 && placeOf[s] === Place.one) runs.copy(at.leaves[s]!, at.ready[unit]!);
    else leave(unit, s);
  };

  return {
    holdInto: line.holdInto,
    run(part) {
      line.begin(part);
      for (let u = 0; u < units.names.length; u++) {
        const ready = at.ready[u]!;
        runs.fill(ready, units.release[u]!);
        if (wallClock) runs.toWall(ready, calendars[0]!);
        const [first, end] = [steps.first[u]!, steps.first[u + 1]!];
        for (let k = first; k < end; k++) {
          const s = steps.station[k]!;
          const before = k > first ? steps.station[k - 1]! : -1;
          line.holdBack(u, k);
          if (plainly[k] === 1) runs.advance(ready, free[s]!, before >= 0 && placeOf[before] === Place.one ? at.leaves[before]! : at.unread, line.visit(k), s);
          else {
            if (steps.standing[k] === 0) comeTo(u, s, before);
            work(u, k);
          }
          if (!wallClock) line.troubles(u, k, ready);
        }
        line.holdBack(u, end);
        if (end > first) leaveTheLine(u, end - 1);
      }
    },
  };
}
