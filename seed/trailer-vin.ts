const VALUES: Record<string, number> = {
  A: 1, B: 2, C: 3, D: 4, E: 5, F: 6, G: 7, H: 8, J: 1, K: 2, L: 3, M: 4, N: 5, P: 7, R: 9, S: 2, T: 3, U: 4, V: 5, W: 6, X: 7, Y: 8, Z: 9,
};
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/** The check digit that belongs in position 9 of a 17-sign VIN (49 CFR 565.15(c)); position 9 itself does not count. */
export function checkDigit(vin: string): string {
  const sum = [...vin].reduce((total, sign, i) => total + (VALUES[sign] ?? Number(sign)) * WEIGHTS[i]!, 0);
  return sum % 11 === 10 ? 'X' : String(sum % 11);
}

/** An invented trailer VIN with a right check digit. A first character 0 belongs to no maker (from memory of ISO 3780). */
export function inventedVin(serial: number, length: number): string {
  const head = `0ZZTB${String(Math.round(length)).padStart(2, '0')}2`;
  const tail = `V0${String(serial % 1_000_000).padStart(6, '0')}`;
  return `${head}${checkDigit(`${head}0${tail}`)}${tail}`;
}
