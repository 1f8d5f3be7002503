import type { Minutes } from '../units.ts';
import type { CompiledLine } from './compiled-line.ts';
import { type ForecastRuns, run } from './run.ts';
import { quantileOfSorted } from '../rates/quantiles.ts';
import { summarize, type UnitForecast } from './summary.ts';

/** What a changed line does to one unit. Elapsed minutes, positive: later. */
export interface UnitChange {
  unit: string;
  before: UnitForecast;
  after: UnitForecast;
  /** Over the runs, of the change of ready to ship under the same draws. */
  mean: Minutes;
  p10: Minutes;
  p90: Minutes;
  /** Change of the probability of missing the promise; null when one side has no promise. */
  missing: number | null;
}

/**
 * Two set-ups of a line side by side (definitions §6: the same draws serve both sides). A unit keeps its own draws at each station whatever its
 * place in the sequence, so that what differs is the change and not chance. Units that are on one side only are left out.
 */
export function compare(before: CompiledLine, after: CompiledLine, seed: number, runs: number): UnitChange[] {
  return compareRuns(before, run(before, seed, runs), after, run(after, seed, runs));
}

/** The same of runs that were made already, as many on both sides, under the same draws. */
export function compareRuns(before: CompiledLine, first: ForecastRuns, after: CompiledLine, second: ForecastRuns): UnitChange[] {
  const [told, toldAfter] = [summarize(before, first), summarize(after, second)];
  return told.flatMap((forecast, u) => {
    const other = second.units.indexOf(forecast.unit);
    if (other < 0) return [];
    const changes = changesOf(first, u, second, other);
    const missing = forecast.missing === null || toldAfter[other]!.missing === null ? null : toldAfter[other]!.missing! - forecast.missing;
    const mean = changes.reduce((sum, change) => sum + change, 0) / first.runs;
    return [{ unit: forecast.unit, before: forecast, after: toldAfter[other]!, mean, p10: quantileOfSorted(changes, 0.1), p90: quantileOfSorted(changes, 0.9), missing }];
  });
}

/** Run by run, in rising order. A run in which both sides never end is no change. */
function changesOf(first: ForecastRuns, u: number, second: ForecastRuns, other: number): Float64Array {
  const { runs } = first;
  const changes = new Float64Array(runs);
  for (let r = 0; r < runs; r++) {
    const [was, is] = [first.ready[u * runs + r]!, second.ready[other * runs + r]!];
    changes[r] = was === is ? 0 : is - was;
  }
  return changes.sort();
}
