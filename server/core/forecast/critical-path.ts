import { invariant } from '../invariant.ts';
import { createStageQueue } from './after-line.ts';
import type { CompiledLine } from './compiled-line.ts';
import { createPlainRuns } from './plain-runs.ts';
import { runAll } from './run.ts';
import { BLOCK, layOut } from './run-memory.ts';
import { createPaths, createTracedRuns, mark } from './traced-runs.ts';

/** Of how many stations and stages the shares can be told: a bit each in two words of 32. */
export const MOST_STATIONS = 64;

/** On which stations and stages being ready to ship hung. */
export interface CriticalShares {
  /** Codes of stations and stages, in the order of the shares. */
  codes: string[];
  /** Share of runs in which station s lay on the critical path of unit u, at `u * codes.length + s`. */
  shares: Float64Array;
}

/**
 * How often each station lay on a unit's critical path (definitions §6): the chain of visits, its own and of those it waited for, any minute more of which
 * makes it later. The first `runs` runs of the forecast with this `seed`, done again with the path kept.
 */
export function criticalShares(compiled: CompiledLine, seed: number, runs: number): CriticalShares {
  const { codes } = compiled.stations;
  invariant(codes.length <= MOST_STATIONS, `the critical path is told of at most ${MOST_STATIONS} stations and stages`);
  const count = compiled.units.names.length;
  const at = layOut(compiled);
  const paths = createPaths(at);
  const { low, high } = paths;
  // What each server of a stage last waited on.
  const [serverLow, serverHigh] = [new Int32Array(count), new Int32Array(count)];
  const queue = createStageQueue(at.doubles, count, (r, unit, server, waited, place) => {
    const own = at.ready[unit]! + r;
    if (waited) [low[own], high[own]] = [serverLow[server]!, serverHigh[server]!];
    mark(paths, own, place);
    [serverLow[server], serverHigh[server]] = [low[own]!, high[own]!];
  });
  const times = new Float64Array(count * codes.length);
  const traced = createTracedRuns(at, paths, createPlainRuns(at, seed), seed);
  runAll(compiled, at, traced, queue, seed, runs, (stage, part) => {
    if (stage !== compiled.stages.ready) return;
    const inBlock = Math.min(BLOCK, runs - part * BLOCK);
    for (let u = 0; u < count; u++) {
      for (let r = at.ready[u]!; r < at.ready[u]! + inBlock; r++) {
        for (let s = 0; s < codes.length; s++) if (((s < 32 ? low[r]! >> s : high[r]! >> (s - 32)) & 1) === 1) times[u * codes.length + s]!++;
      }
    }
  });
  return { codes, shares: times.map((time) => time / runs) };
}
