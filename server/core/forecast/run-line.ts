import { type CompiledLine, type Draws, SHIPPING } from './compiled-line.ts';
import { PURPOSE } from './random.ts';
import { type RunMemory, vectorAfter } from './run-memory.ts';
import type { Runs, Stream } from './runs.ts';

/** One block of runs of the line itself; afterwards `ready` of each unit that was not past the line is when it leaves the line's end. */
export interface LineRunner {
  run(part: number): void;
  /** The stream of an open hold, drawn into `to` as minutes of the clock that the line runs on. */
  holdInto(to: number, hold: number): void;
}

/** What both kinds of line do: draw a visit, hold a unit back, keep the leaves of a station. */
export interface LineSteps {
  runs: Runs;
  stream: Stream;
  /** Sets all vectors of the line to the beginning of part `part`. */
  begin(part: number): void;
  /** The unit may not go on to `step` before the holds that keep it from that are cleared. */
  holdBack(unit: number, step: number): void;
  holdInto(to: number, hold: number): void;
  /** Points the one stream at the visit of `step`. */
  visit(step: number): Stream;
  /** What happens during the visit besides work, in minutes on top of `to`; mending is kept apart. */
  troubles(unit: number, step: number, to: number): void;
}

export function createLineSteps(compiled: CompiledLine, at: RunMemory, runs: Runs): LineSteps {
  const { steps, chances, holds, stations, units, calendars, wallClock } = compiled;
  const stream: Stream = { low: 0, high: 0, purpose: 0, table: 0, shift: 0, scale: 1, kept: 0 };
  const mends = units.shorts.table.length > 0 || chances.purpose.includes(PURPOSE.shorts);
  const point = (low: number, high: number, purpose: number, draws: Draws, index: number, scale: number): Stream => {
    stream.low = low;
    stream.high = high;
    stream.purpose = purpose;
    stream.table = draws.table[index]!;
    stream.shift = draws.shift[index]!;
    stream.scale = scale;
    stream.kept = 0;
    return stream;
  };
  const holdInto = (to: number, hold: number): void => {
    const fixed = holds.fixed[hold]!;
    if (Number.isNaN(fixed)) runs.draw(to, point(holds.low[hold]!, holds.high[hold]!, PURPOSE.openHold, holds, hold, 1));
    else runs.fill(to, fixed);
    if (wallClock) runs.toWall(to, calendars[0]!);
  };
  return {
    runs, stream, holdInto,
    begin(part) {
      runs.begin(part);
      for (let s = 0; s < stations.count; s++) {
        for (let slot = 0; slot < stations.kept[s]!; slot++) runs.fill(vectorAfter(at.leaves[s]!, slot), 0);
        if (at.lengths[s] !== at.zeros) for (let slot = 0; slot < stations.kept[s]!; slot++) runs.fill(vectorAfter(at.lengths[s]!, slot), 0);
      }
      for (let u = 0; mends && u < units.names.length; u++) {
        runs.fill(at.mending[u]!, 0);
        for (let short = units.firstShort[u]!; short < units.firstShort[u + 1]!; short++) {
          runs.draw(at.scratch, point(units.low[u]!, units.high[u]! + short - units.firstShort[u]!, PURPOSE.mending, units.shorts, short, 1));
          runs.add(at.mending[u]!, at.scratch, -1);
        }
      }
    },
    holdBack(unit, step) {
      for (let hold = holds.first[unit]!; hold < holds.first[unit + 1]!; hold++) {
        if (holds.before[hold] !== step || step === SHIPPING) continue;
        holdInto(at.scratch, hold);
        runs.laterOf(at.ready[unit]!, at.scratch);
      }
    },
    visit(step) {
      // Field by field, and not by `point`: this is asked once for every step of every block.
      stream.low = steps.low[step]!;
      stream.high = steps.high[step]!;
      stream.purpose = PURPOSE.work;
      stream.table = steps.table[step]!;
      stream.shift = steps.shift[step]!;
      stream.scale = steps.scale[step]!;
      stream.kept = at.streams[step]!;
      return stream;
    },
    troubles(unit, step, to) {
      for (let chance = steps.firstChance[step]!; chance < steps.firstChance[step + 1]!; chance++) {
        const purpose = chances.purpose[chance]!;
        point(steps.low[step]!, steps.high[step]!, purpose, chances, chance, 1);
        runs.happen(purpose === PURPOSE.shorts ? at.mending[unit]! : to, stream, chances.mean[chance]!, chances.once[chance] === 1, purpose === PURPOSE.shorts ? -1 : steps.station[step]!);
      }
    },
  };
}
