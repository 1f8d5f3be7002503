import { addWork, alwaysWorks, type CalendarTable } from './calendar-table.ts';
import { type CompiledLine, SHIPPING } from './compiled-line.ts';
import { PURPOSE } from './random.ts';
import type { LineRunner } from './run-line.ts';
import { BLOCK, type RunMemory } from './run-memory.ts';
import type { Runs, Stream } from './runs.ts';

/** What a stage does to the units that come to it, in all runs of a block. */
export interface StageQueue {
  /** Serves every unit whose minutes in `service` are above 0, first come first served, on `servers` (0: without limit). `ready` becomes when it is done. */
  serve(ready: Int32Array, service: Int32Array, standing: Uint8Array, servers: number, calendar: CalendarTable, place: number): void;
}

/** First come, first served, run by run. `moved` is told of every service: the run, the unit, the server, whether it waited for it. */
export function createStageQueue(doubles: Float64Array, unitCount: number, moved?: (r: number, unit: number, server: number, waited: boolean, place: number) => void): StageQueue {
  const order = Int32Array.from({ length: unitCount }, (_, u) => u);
  const free = new Float64Array(unitCount);
  return {
    serve(ready, service, standing, servers, calendar, place) {
      const places = servers === 0 ? 0 : Math.min(servers, unitCount);
      for (let r = 0; r < BLOCK; r++) {
        free.fill(0, 0, places);
        sortByReady(order, doubles, ready, standing, r);
        for (let i = 0; i < unitCount; i++) {
          const u = order[i]!;
          const minutes = doubles[service[u]! + r]!;
          if (minutes <= 0) continue;
          const at = ready[u]! + r;
          let server = 0;
          for (let s = 1; s < places; s++) if (free[s]! < free[server]!) server = s;
          const waited = places > 0 && free[server]! > doubles[at]!;
          const done = addWork(calendar, waited ? free[server]! : doubles[at]!, minutes);
          doubles[at] = done;
          if (places > 0) free[server] = done;
          moved?.(r, u, server, waited, place);
        }
      }
    },
  };
}

/** Insertion sort: from run to run the order hardly changes. Those that stand at the stage come first; ties in the order of coming. */
function sortByReady(order: Int32Array, doubles: Float64Array, ready: Int32Array, standing: Uint8Array, r: number): void {
  for (let i = 1; i < order.length; i++) {
    const u = order[i]!;
    const key = standing[u] === 1 ? -1 : doubles[ready[u]! + r]!;
    let j = i - 1;
    for (; j >= 0; j--) {
      const other = order[j]!;
      const before = standing[other] === 1 ? -1 : doubles[ready[other]! + r]!;
      if (before < key || (before === key && other < u)) break;
      order[j + 1] = other;
    }
    order[j + 1] = u;
  }
}

/** What `createAfterLine` tells first. */
export const LINE_END = -2;

/**
 * The stages after the line's end, one after the other (definitions §6), in wall minutes. `told` is called with LINE_END, with -1 when what
 * needs no stage is ready, and with each stage when it is done.
 */
export function createAfterLine(compiled: CompiledLine, at: RunMemory, runs: Runs, line: LineRunner, queue: StageQueue): (told: (stage: number) => void) => void {
  const { units, stages, stations, holds, calendars, wallClock } = compiled;
  const count = units.names.length;
  const stream: Stream = { low: 0, high: 0, purpose: PURPOSE.stage, table: 0, shift: 0, scale: 1, kept: 0 };
  const nobody = new Uint8Array(count);

  const shippingHolds = (): void => {
    for (let u = 0; u < count; u++) {
      for (let hold = holds.first[u]!; hold < holds.first[u + 1]!; hold++) {
        if (holds.before[hold] !== SHIPPING) continue;
        line.holdInto(at.scratch, hold);
        if (!wallClock) runs.toWall(at.scratch, calendars[0]!);
        runs.laterOf(at.ready[u]!, at.scratch);
      }
    }
  };
  const drawService = (u: number, g: number): void => {
    const to = at.service[u]!;
    const here = units.stage[u] === g;
    runs.fill(to, 0);
    if (units.stage[u]! > g) return;
    stream.low = units.low[u]!;
    // Each stage has a stream of its own.
    stream.high = (units.high[u]! ^ Math.imul(g + 1, 0x9e3779b1)) >>> 0;
    const left = here && units.stageStanding[u] === 1;
    const draws = left ? units.stageLeft : stages;
    stream.table = draws.table[left ? u : g]!;
    stream.shift = draws.shift[left ? u : g]!;
    stream.scale = left ? 1 : stages.scale[u * stages.capacity.length + g]!;
    const probability = here ? 1 : stages.probability[u * stages.capacity.length + g]!;
    if (probability >= 1) runs.draw(to, stream);
    else if (probability > 0) runs.happen(to, stream, -Math.log1p(-probability), true, -1);
    if (stages.mends[g] === 1) runs.add(to, at.mending[u]!, -1);
  };
  return (told) => {
    if (!wallClock && !alwaysWorks(calendars[0]!)) for (let u = 0; u < count; u++) runs.toWall(at.ready[u]!, calendars[0]!);
    told(LINE_END);
    if (stages.ready < 0) shippingHolds();
    told(-1);
    for (let g = 0; g < stages.capacity.length; g++) {
      for (let u = 0; u < count; u++) drawService(u, g);
      const standing = units.stage.includes(g) ? Uint8Array.from(units.stage, (stage, u) => Number(stage === g && units.stageStanding[u] === 1)) : nobody;
      queue.serve(at.ready, at.service, standing, stages.capacity[g]!, calendars[stages.calendar[g]!]!, stations.count + g);
      if (g === stages.ready) shippingHolds();
      told(g);
    }
  };
}
