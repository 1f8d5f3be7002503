/** Units that passed at the first attempt ÷ units checked (definitions §9). Null when none was checked: no yield is not the yield 0. */
export function firstPassYield(passedAtFirst: number, checked: number): number | null {
  return checked > 0 ? passedAtFirst / checked : null;
}

/** Product over the checks of a route (definitions §9). Null when a check of the route has no yield, or the route no check. */
export function rolledThroughputYield(yields: readonly (number | null)[]): number | null {
  if (yields.length === 0) return null;
  return yields.reduce((product, own) => (product === null || own === null ? null : product * own));
}

/** Defects found ÷ units checked (definitions §9). Null when none was checked. */
export function defectsPerUnit(defects: number, checked: number): number | null {
  return checked > 0 ? defects / checked : null;
}

/**
 * The share of units without a defect when defects fall on units by chance (Poisson): e to the minus defects per unit. An estimate for
 * checks that count defects only; it is never multiplied with counted first-pass yields.
 */
export function throughputYield(perUnit: number): number {
  return Math.exp(-perUnit);
}

/** Defects for each million chances of one, `chances` being those of one unit. Null when there was no chance. */
export function defectsPerMillion(defects: number, checked: number, chances: number): number | null {
  return checked > 0 && chances > 0 ? (defects / (checked * chances)) * 1_000_000 : null;
}
