/** Values of the signs of a VIN (49 CFR 565.15, Table III); I, O and Q are in none. */
const VALUES: Record<string, number> = Object.fromEntries([
  ...'0123456789'.split('').map((digit) => [digit, Number(digit)]),
  ...['AJ', 'BKS', 'CLT', 'DMU', 'ENV', 'FW', 'GPX', 'HY', 'RZ'].flatMap((letters, i) => letters.split('').map((letter) => [letter, i + 1])),
]) as Record<string, number>;
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
const CHECK_AT = 8;

/** Whether `code`, in capitals, has the form of a VIN: 17 signs that VINs are made of. */
export function isVinForm(code: string): boolean {
  return code.length === WEIGHTS.length && [...code].every((sign) => sign in VALUES);
}

/** Whether the check digit in position 9 is right. A wrong one shows a misread; a right one does not prove the VIN, for some letters count the same. */
export function hasRightCheckDigit(vin: string): boolean {
  const sum = [...vin].reduce((total, sign, i) => total + VALUES[sign]! * WEIGHTS[i]!, 0);
  return vin[CHECK_AT] === (sum % 11 === 10 ? 'X' : String(sum % 11));
}
