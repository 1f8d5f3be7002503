/**
 * How good forecasts were (definitions §6). Gneiting and Raftery, Strictly proper scoring rules, prediction, and estimation, JASA 102 (2007) 359-378.
 * Scores are in the unit of what was forecast; smaller is better, except skill.
 */

/** Pinball loss of the forecast `quantile` at level `tau` when `seen` happened. */
export function pinballLoss(quantile: number, seen: number, tau: number): number {
  return seen >= quantile ? tau * (seen - quantile) : (1 - tau) * (quantile - seen);
}

/** Interval score (Winkler) of the central interval that should miss with probability `alpha`. */
export function intervalScore(low: number, high: number, seen: number, alpha: number): number {
  const missed = Math.max(0, low - seen) + Math.max(0, seen - high);
  return high - low + (2 / alpha) * missed;
}

/** Continuous ranked probability score of the empirical distribution of `members`: mean |x - y| less half the mean |x - x'|. Not empty. */
export function crpsEnsemble(members: ArrayLike<number>, seen: number): number {
  return ensembleScore(members, seen, members.length);
}

/** The same, fair to a small ensemble: what is expected of infinitely many members. Needs two; NaN with one. */
export function crpsFair(members: ArrayLike<number>, seen: number): number {
  return members.length < 2 ? Number.NaN : ensembleScore(members, seen, members.length - 1);
}

function ensembleScore(members: ArrayLike<number>, seen: number, pairsWith: number): number {
  const sorted = Float64Array.from(members).sort();
  const count = sorted.length;
  let distance = 0;
  // The sum of |x - x'| over all pairs of a sorted list, both ways round.
  let spread = 0;
  sorted.forEach((member, i) => {
    distance += Math.abs(member - seen);
    spread += 2 * (2 * i - count + 1) * member;
  });
  return distance / count - spread / (2 * count * pairsWith);
}

/** Closed form for a normal forecast. */
export function crpsNormal(mean: number, deviation: number, seen: number): number {
  const w = (seen - mean) / deviation;
  const density = Math.exp(-(w * w) / 2) / Math.sqrt(2 * Math.PI);
  return deviation * (w * (2 * normalShare(w) - 1) + 2 * density - 1 / Math.sqrt(Math.PI));
}

/** Closed form for an exponential forecast of `rate` (mean 1 / rate). */
export function crpsExponential(rate: number, seen: number): number {
  const share = seen > 0 ? -Math.expm1(-rate * seen) : 0;
  return Math.abs(seen) - (2 * share) / rate + 1 / (2 * rate);
}

/** Closed form for a uniform forecast from `low` to `high`. */
export function crpsUniform(low: number, high: number, seen: number): number {
  const width = high - low;
  const share = Math.min(1, Math.max(0, (seen - low) / width));
  const outside = Math.max(0, low - seen, seen - high);
  return outside + width * (share * share - share + 1 / 3);
}

/** Share of a standard normal below `x`: Abramowitz and Stegun 26.2.11, a series of positive terms. */
export function normalShare(x: number): number {
  if (Math.abs(x) > 8) return x > 0 ? 1 : 0;
  let term = x;
  let sum = x;
  for (let odd = 3; Math.abs(term) > 1e-17 * Math.abs(sum); odd += 2) {
    term *= (x * x) / odd;
    sum += term;
  }
  return 0.5 + (sum * Math.exp(-(x * x) / 2)) / Math.sqrt(2 * Math.PI);
}

/** Brier score of probabilities against what happened (true: it did). */
export function brierScore(probabilities: readonly number[], happened: readonly boolean[]): number {
  return probabilities.reduce((sum, p, i) => sum + (p - Number(happened[i])) ** 2, 0) / probabilities.length;
}

/** 1 - score / reference: 1 perfect, 0 as good as the reference, negative worse. */
export function skill(score: number, reference: number): number {
  return 1 - score / reference;
}

/** Share of intervals that held what happened. */
export function coverage(intervals: readonly { low: number; high: number; seen: number }[]): number {
  return intervals.filter(({ low, high, seen }) => low <= seen && seen <= high).length / intervals.length;
}

/** How many of `count` intervals of `nominal` coverage hold what happens, from the 2.5 % to the 97.5 % quantile of the binomial distribution. */
export function coverageBand(count: number, nominal: number): { low: number; high: number } {
  const quantile = (level: number): number => {
    let hits = 0;
    // In logarithms, for 0.1^1000 is no double.
    let logMass = count * Math.log1p(-nominal);
    let share = Math.exp(logMass);
    for (; share < level && hits < count; hits++) {
      logMass += Math.log(((count - hits) / (hits + 1)) * (nominal / (1 - nominal)));
      share += Math.exp(logMass);
    }
    return hits;
  };
  return { low: quantile(0.025), high: quantile(0.975) };
}
