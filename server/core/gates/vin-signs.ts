/**
 * The signs of a vehicle identification number and the arithmetic of its check digit, after 49 CFR 565.15 (Tables III to V). The regulation
 * in force rules; these figures are of its text as read in public copies.
 */

export const VIN_LENGTH = 17;
/** Position of the check digit, from 1. */
export const CHECK_POSITION = 9;

/** What each sign counts (Table III). I, O and Q are never used. */
const VALUES: ReadonlyMap<string, number> = new Map(Object.entries({
  0: 0, 1: 1, 2: 2, 3: 3, 4: 4, 5: 5, 6: 6, 7: 7, 8: 8, 9: 9,
  A: 1, B: 2, C: 3, D: 4, E: 5, F: 6, G: 7, H: 8, J: 1, K: 2, L: 3, M: 4, N: 5, P: 7, R: 9, S: 2, T: 3, U: 4, V: 5, W: 6, X: 7, Y: 8, Z: 9,
}));

/** What each position weighs (Table IV); the check digit itself weighs nothing. */
const WEIGHTS: readonly number[] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/** What the sign counts, or null for one that no VIN has. */
export function valueOfSign(sign: string): number | null {
  return VALUES.get(sign) ?? null;
}

/** The sum that the check digit is told from, or null when a sign other than that of position 9 has no value, or there are not 17. */
export function weightedSum(vin: string): number | null {
  const signs = [...vin];
  if (signs.length !== VIN_LENGTH) return null;
  let sum = 0;
  for (const [i, sign] of signs.entries()) {
    if (i === CHECK_POSITION - 1) continue;
    const value = valueOfSign(sign);
    if (value === null) return null;
    sum += value * WEIGHTS[i]!;
  }
  return sum;
}

/** The check digit that belongs in position 9: the sum's remainder by 11, ten written X. Null where `weightedSum` is null. */
export function checkDigitOf(vin: string): string | null {
  const sum = weightedSum(vin);
  if (sum === null) return null;
  return sum % 11 === 10 ? 'X' : String(sum % 11);
}
