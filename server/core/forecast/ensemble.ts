import { compileLine } from './compile-line.ts';
import type { CompiledLine } from './compiled-line.ts';
import type { ForecastInput } from './forecast-input.ts';
import type { ForecastMaterial } from './forecast-material.ts';
import { inputOfMaterial, knownOf, type LineInput } from './input-of-material.ts';
import { type ForecastRuns, run } from './run.ts';
import { BLOCK } from './run-memory.ts';
import { bayesianWeights } from './weights.ts';

/** How many tellings of the history the runs of a forecast are shared out over. */
export const PARTS = 8;
/** Runs of a forecast. */
export const FORECAST_RUNS = PARTS * BLOCK;

/**
 * One line told several times from the same history, each time weighed otherwise: draws from so short a history are not known for certain, and a forecast
 * that took them for certain would be too narrow. All members have the same units, steps and holds.
 */
export interface Ensemble {
  /** The line with the history as it is. */
  told: LineInput;
  members: CompiledLine[];
}

/** Null when the set-up has no such line. `changed` is put on every member's input. */
export function ensembleOf(material: ForecastMaterial, seed: number, changed: (input: ForecastInput) => ForecastInput = (input) => input, parts = PARTS): Ensemble | null {
  const known = knownOf(material);
  if (!known) return null;
  const told = inputOfMaterial(material, known);
  const members = Array.from({ length: parts }, (_, part) => compileLine(changed(inputOfMaterial(material, known, bayesianWeights(seed, part)).input)));
  return { told: { ...told, input: changed(told.input) }, members };
}

/** A block of runs of each member, one after the other. */
export function runEnsemble(members: readonly CompiledLine[], seed: number): ForecastRuns {
  const found = members.map((member, part) => run(member, seed + part, BLOCK));
  const first = found[0]!;
  const laid = (of: 'exit' | 'ready' | 'pickedUp'): Float64Array => {
    const all = new Float64Array(first.units.length * members.length * BLOCK);
    first.units.forEach((_, u) => found.forEach((one, part) => all.set(one[of]!.subarray(u * BLOCK, (u + 1) * BLOCK), (u * members.length + part) * BLOCK)));
    return all;
  };
  return { runs: members.length * BLOCK, units: first.units, exit: laid('exit'), ready: laid('ready'), pickedUp: first.pickedUp === null ? null : laid('pickedUp') };
}
