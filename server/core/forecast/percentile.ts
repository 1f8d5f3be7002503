/**
 * The percentile at `level` (0 to 1) of values in rising order, type 7 (Hyndman and Fan, Sample quantiles in statistical packages, Am. Stat. 50 (1996)
 * 361-365): linear between the two order statistics around (n - 1) * level. NaN of no values.
 */
export function percentileOfSorted(sorted: ArrayLike<number>, level: number): number {
  if (sorted.length === 0) return Number.NaN;
  const place = (sorted.length - 1) * level;
  const below = Math.floor(place);
  const low = sorted[below]!;
  const high = sorted[Math.min(below + 1, sorted.length - 1)]!;
  // The difference of two infinities is not a number.
  return low === high || place === below ? low : low + (place - below) * (high - low);
}
