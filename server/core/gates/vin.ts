import { isYearSign } from './model-year.ts';
import { CHECK_POSITION, checkDigitOf, VIN_LENGTH, valueOfSign } from './vin-signs.ts';

/** What is wrong with a VIN, at which character (position from 1). */
export type VinFault =
  | { kind: 'length'; length: number }
  /** A sign that no VIN has there. `instead` is the sign it is most often misread for, or null. */
  | { kind: 'illegalCharacter'; position: number; sign: string; instead: string | null }
  /** Position 10 has a sign that stands for no model year. */
  | { kind: 'modelYear'; position: number; sign: string }
  /** One of the last four of a trailer's VIN is not a digit. */
  | { kind: 'notDigit'; position: number; sign: string }
  /** Position 9 has `sign` where the other 16 give `expected`: one of the 17 is misread or mistyped. */
  | { kind: 'checkDigit'; position: number; sign: string; expected: string };

/** Letters that no VIN has, and the digits they are mistaken for. */
const LOOKALIKES: ReadonlyMap<string, string> = new Map([['I', '1'], ['O', '0'], ['Q', '0']]);
const YEAR_POSITION = 10;
/** First of the positions that are digits on trailers. */
const FIRST_DIGIT = 14;
/** The data identifier that may stand before a VIN in a bar code (SAE J1877; ANSI MH10.8.2, from memory). No VIN has an I. */
const DATA_IDENTIFIER = 'I';

/** The VIN in what was typed or scanned: capitals, without spaces, hyphens, the stars of Code 39 and the data identifier of a bar code. */
export function vinIn(text: string): string {
  const vin = text.toUpperCase().replaceAll(/[\s*-]/g, '');
  return vin.length === VIN_LENGTH + 1 && vin.startsWith(DATA_IDENTIFIER) ? vin.slice(1) : vin;
}

/**
 * What is wrong with the VIN of a trailer, from the first character to the last; empty when nothing is. That nothing is wrong does not prove
 * the VIN: signs of the same value (A, J and 1) may stand for each other.
 */
export function vinFaults(vin: string): VinFault[] {
  const signs = [...vin];
  const faults: VinFault[] = signs.flatMap((sign, i): VinFault[] => (valueOfSign(sign) === null ? [{ kind: 'illegalCharacter', position: i + 1, sign, instead: LOOKALIKES.get(sign) ?? null }] : []));
  if (signs.length !== VIN_LENGTH) return [{ kind: 'length', length: signs.length }, ...faults];
  const year = signs[YEAR_POSITION - 1]!;
  if (valueOfSign(year) !== null && !isYearSign(year)) faults.push({ kind: 'modelYear', position: YEAR_POSITION, sign: year });
  for (let position = FIRST_DIGIT; position <= VIN_LENGTH; position++) {
    const sign = signs[position - 1]!;
    if (valueOfSign(sign) !== null && !/\d/.test(sign)) faults.push({ kind: 'notDigit', position, sign });
  }
  const expected = checkDigitOf(vin);
  const sign = signs[CHECK_POSITION - 1]!;
  if (expected !== null && sign !== expected && valueOfSign(sign) !== null) faults.push({ kind: 'checkDigit', position: CHECK_POSITION, sign, expected });
  return faults;
}

/** The same in short, for a flag's detail: each fault and its position. Empty when nothing is wrong. */
export function vinFaultCodes(vin: string): string {
  return vinFaults(vin).map((fault) => (fault.kind === 'length' ? `length ${fault.length}` : `${fault.kind} ${fault.position}`)).join(', ');
}
