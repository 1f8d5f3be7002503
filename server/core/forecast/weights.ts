import type { Weigh } from './draws-from-history.ts';
import { nextUniform, seedState } from './random.ts';

const PURPOSE_OF_WEIGHTS = 9;

/**
 * Weights of the Bayesian bootstrap: exponential ones of mean 1 (Rubin, The Bayesian bootstrap, Ann. Stat. 9 (1981) 130-134). Draws from a history weighed so differ
 * from one telling to the next by as much as is not known from so short a history; told `part` by part they make the forecast as wide as it has to be.
 */
export function bayesianWeights(seed: number, part: number): Weigh {
  const state = new Uint32Array(4);
  seedState(state, seed, part, 0, PURPOSE_OF_WEIGHTS, part);
  return () => -Math.log(nextUniform(state));
}
