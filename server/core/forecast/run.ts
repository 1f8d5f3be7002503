import { createAfterLine, createStageQueue, LINE_END, type StageQueue } from './after-line.ts';
import { type CompiledLine, SHIPPING } from './compiled-line.ts';
import { createPlainRuns } from './plain-runs.ts';
import { PURPOSE, seedState } from './random.ts';
import { createAsReadyRunner } from './run-as-ready.ts';
import { BLOCK, layOut, type RunMemory, STATE_WORDS } from './run-memory.ts';
import { createTogetherRunner } from './run-together.ts';
import type { Runs } from './runs.ts';

/**
 * What many runs gave: wall minutes after the instant of the forecast, Infinity where a calendar ends. Unit by unit: run r of unit u is at
 * `u * runs + r`. The arrays may be transferred to another thread.
 */
export interface ForecastRuns {
  runs: number;
  units: string[];
  /** Leaves the line's end; 0 for a unit that is past it. */
  exit: Float64Array;
  /** Ready to ship; the same array as `exit` when nothing comes after the line's end. */
  ready: Float64Array;
  /** Past the last stage; null when no stage comes after being ready to ship. */
  pickedUp: Float64Array | null;
}

/** Runs the line `runs` times with draws made from `seed`, an integer (definitions §6). The same seed gives the same answer; run r does not depend on `runs`. */
export function run(compiled: CompiledLine, seed: number, runs: number): ForecastRuns {
  const { units, stages, holds } = compiled;
  const at = layOut(compiled);
  const size = units.names.length * runs;
  const lastStage = stages.capacity.length - 1;
  const nothingAfter = lastStage < 0 && !holds.before.includes(SHIPPING);
  const exit = new Float64Array(size);
  const ready = nothingAfter ? exit : new Float64Array(size);
  const pickedUp = lastStage > stages.ready ? new Float64Array(size) : null;
  runAll(compiled, at, createPlainRuns(at, seed), createStageQueue(at.doubles, units.names.length), seed, runs, (stage, part) => {
    if (stage === LINE_END) copyBlock(at, exit, part, runs);
    if (stage === stages.ready && !nothingAfter) copyBlock(at, ready, part, runs);
    if (stage === lastStage && pickedUp) copyBlock(at, pickedUp, part, runs);
  });
  return { runs, units: units.names, exit, ready, pickedUp };
}

/** Every block of runs from the beginning of the line to the last stage. `told` hears of each block when a stage is done, see `createAfterLine`. */
export function runAll(
  compiled: CompiledLine, at: RunMemory, vectors: Runs, queue: StageQueue, seed: number, runs: number, told: (stage: number, part: number) => void,
): void {
  seedVisits(compiled, at, seed);
  const line = compiled.together ? createTogetherRunner(compiled, at, vectors) : createAsReadyRunner(compiled, at, vectors);
  const afterLine = createAfterLine(compiled, at, vectors, line, queue);
  for (let part = 0; part * BLOCK < runs; part++) {
    line.run(part);
    afterLine((stage) => told(stage, part));
  }
}

/** Gives every visit its own stream. */
function seedVisits({ steps }: CompiledLine, { streams, words }: RunMemory, seed: number): void {
  for (let k = 0; k < streams.length; k++) seedState(words.subarray(2 * streams[k]!, 2 * streams[k]! + STATE_WORDS), seed, steps.low[k]!, steps.high[k]!, PURPOSE.work, 0);
}

function copyBlock({ doubles, ready }: RunMemory, to: Float64Array, part: number, runs: number): void {
  const from = part * BLOCK;
  const count = Math.min(BLOCK, runs - from);
  ready.forEach((vector, u) => to.set(doubles.subarray(vector, vector + count), u * runs + from));
}
