/**
 * The nine sample quantiles of Hyndman & Fan, American Statistician 50 (1996) 361-365. 7 is the default here (definitions §9), as in
 * spreadsheets' inclusive function; 6 is their exclusive one; 8 is what the authors recommend.
 */
export type QuantileType = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9;

/** The m of `j = floor(n p + m)`, as the paper gives it for each type. */
const SHIFT: Record<QuantileType, (p: number) => number> = {
  1: () => 0, 2: () => 0, 3: () => -0.5, 4: () => 0, 5: () => 0.5, 6: (p) => p, 7: (p) => 1 - p, 8: (p) => (p + 1) / 3, 9: (p) => p / 4 + 3 / 8,
};

/** How far `n p + m` may be from a whole number and still be one: 0.1 × 30 is not 3 in binary. */
const FUZZ = 4 * Number.EPSILON;

/** The quantile of order `p` (0 to 1) of `values`, in any order, in their unit. Throws RangeError on no values or a `p` outside 0 to 1. */
export function quantile(values: readonly number[], p: number, type: QuantileType = 7): number {
  return quantileOfSorted([...values].sort((a, b) => a - b), p, type);
}

/** The same of values in rising order. The last of them may be infinite. */
export function quantileOfSorted(sorted: ArrayLike<number>, p: number, type: QuantileType = 7): number {
  if (sorted.length === 0) throw new RangeError('a quantile needs at least one value');
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile has an order from 0 to 1, not ${p}`);
  const position = sorted.length * p + SHIFT[type](p);
  const j = Math.floor(position + FUZZ * Math.max(1, position));
  const over = position - j;
  const g = Math.abs(over) < FUZZ * Math.max(1, position) ? 0 : over;
  const at = (index: number): number => sorted[Math.min(sorted.length, Math.max(1, index)) - 1]!;
  const weight = weightOfNext(type, j, g);
  // Not (1 - weight) × a + weight × b, which can leave the two it lies between.
  if (weight === 0 || weight === 1) return at(j + weight);
  // The difference of two infinities is not a number.
  return at(j) === at(j + 1) ? at(j) : at(j) + weight * (at(j + 1) - at(j));
}

/** The paper's gamma: how much of the answer is the value after the j-th. */
function weightOfNext(type: QuantileType, j: number, g: number): number {
  if (type === 1) return g > 0 ? 1 : 0;
  if (type === 2) return g > 0 ? 1 : 0.5;
  if (type === 3) return g > 0 || j % 2 !== 0 ? 1 : 0;
  return g;
}

/** What a set of minutes looks like; percentiles of type 7 (definitions §9). */
export interface Distribution {
  count: number;
  sum: number;
  mean: number;
  min: number;
  p10: number;
  p25: number;
  p50: number;
  p75: number;
  p90: number;
  max: number;
}

/** Null where there is nothing to tell: no value is not the value 0. */
export function distributionOf(values: readonly number[]): Distribution | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const sum = sorted.reduce((total, value) => total + value, 0);
  const at = (p: number): number => quantileOfSorted(sorted, p);
  return {
    count: sorted.length, sum, mean: sum / sorted.length, min: sorted[0]!, p10: at(0.1), p25: at(0.25), p50: at(0.5), p75: at(0.75), p90: at(0.9),
    max: sorted[sorted.length - 1]!,
  };
}
