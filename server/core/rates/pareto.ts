/** One bar of a Pareto chart. Shares are of the whole, 0 to 1; the last cumulative share is 1. */
export type ParetoRow<T> = T & { share: number; cumulative: number; vital: boolean };

/** A cumulative share that misses the boundary by rounding has met it. */
const HAIR = 1e-9;

/**
 * `items` from the largest amount to the smallest, each with its share and the share of all up to and with it. `vital` are those that
 * together first reach `boundary` of the whole. Ties keep the order of their labels. With a whole of 0 shares are 0 and nothing is vital.
 */
export function paretoOrder<T extends { label: string; amount: number }>(items: readonly T[], boundary = 0.8): ParetoRow<T>[] {
  const sorted = [...items].sort((a, b) => b.amount - a.amount || (a.label < b.label ? -1 : a.label > b.label ? 1 : 0));
  const whole = sorted.reduce((sum, { amount }) => sum + amount, 0);
  let sum = 0;
  return sorted.map((item) => {
    const before = whole === 0 ? 0 : sum / whole;
    sum += item.amount;
    const share = whole === 0 ? 0 : item.amount / whole;
    return { ...item, share, cumulative: whole === 0 ? 0 : sum / whole, vital: share > 0 && before < boundary - HAIR };
  });
}
