import { createAfterLine, createStageQueue } from './after-line.ts';
import type { CompiledLine } from './compiled-line.ts';
import { createPlainRuns } from './plain-runs.ts';
import { createAsReadyRunner } from './run-as-ready.ts';
import type { LineRunner } from './run-line.ts';
import { BLOCK, layOut, type RunMemory } from './run-memory.ts';
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
  /** Ready to ship. */
  ready: Float64Array;
  /** Past the last stage. */
  pickedUp: Float64Array;
}

/** Runs the line `runs` times with draws made from `seed`, an integer (definitions §6). The same seed gives the same answer; run r does not depend on `runs`. */
export function run(compiled: CompiledLine, seed: number, runs: number): ForecastRuns {
  const { units, stages } = compiled;
  const at = layOut(compiled);
  const vectors = createPlainRuns(at, seed);
  const line = lineRunner(compiled, at, vectors);
  const afterLine = createAfterLine(compiled, at, vectors, line, createStageQueue(at.doubles, units.names.length));
  const size = units.names.length * runs;
  const found: ForecastRuns = { runs, units: units.names, exit: new Float64Array(size), ready: new Float64Array(size), pickedUp: new Float64Array(size) };
  for (let part = 0; part * BLOCK < runs; part++) {
    line.run(part);
    afterLine((stage) => {
      if (stage < 0) copyBlock(at, found.exit, part, runs);
      if (stage === stages.ready) copyBlock(at, found.ready, part, runs);
      if (stage === stages.capacity.length - 1) copyBlock(at, found.pickedUp, part, runs);
    });
  }
  return found;
}

/** The recursion of the kind of line that this is. */
export function lineRunner(compiled: CompiledLine, at: RunMemory, runs: Runs): LineRunner {
  return compiled.together ? createTogetherRunner(compiled, at, runs) : createAsReadyRunner(compiled, at, runs);
}

function copyBlock({ doubles, ready }: RunMemory, to: Float64Array, part: number, runs: number): void {
  const from = part * BLOCK;
  const count = Math.min(BLOCK, runs - from);
  ready.forEach((vector, u) => to.set(doubles.subarray(vector, vector + count), u * runs + from));
}
