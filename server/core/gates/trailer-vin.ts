import type { VinMakeUp } from '../setup/quality.ts';
import { modelYears, yearSign } from './model-year.ts';
import { checkDigitOf, VIN_LENGTH } from './vin-signs.ts';
import { vinFaults } from './vin.ts';

/** A trailer's VIN in its parts (49 CFR 565.15). */
export interface TrailerVin {
  /**
   * Who made it: positions 1–3 of a maker of a thousand trailers a year or more; of a maker of fewer, which has 9 in position 3, positions
   * 1–3 and 12–14.
   */
  manufacturer: string;
  /** Positions 4–8: make, type of trailer, body type, length, axles. */
  descriptor: string;
  check: string;
  yearSign: string;
  /** Position 11: the plant. */
  plant: string;
  /** Positions 12–17, or 15–17 where 12–14 are part of the manufacturer's. */
  serial: string;
}

const SIGN_OF_FEW = '9';

/** The parts of `vin`, or null for one in which something is wrong. */
export function trailerVinParts(vin: string): TrailerVin | null {
  if (vinFaults(vin).length > 0) return null;
  const few = vin[2] === SIGN_OF_FEW;
  return {
    manufacturer: few ? vin.slice(0, 3) + vin.slice(11, 14) : vin.slice(0, 3),
    descriptor: vin.slice(3, 8), check: vin[8]!, yearSign: vin[9]!, plant: vin[10]!, serial: few ? vin.slice(14) : vin.slice(11),
  };
}

/** The model years that a right VIN may be of, up to `last`: two for most, for nothing in a trailer's VIN tells the cycles of 30 years apart. */
export function trailerYears(vin: string, last: number): number[] {
  return modelYears(trailerVinParts(vin)?.yearSign ?? '', last);
}

/** The VIN of a trailer of `model` with the serial number `serial`, or null when the make-up has no descriptor for it or no room for the number. */
export function trailerVin(makeUp: VinMakeUp, model: string, serial: number): string | null {
  const descriptor = Object.hasOwn(makeUp.descriptors, model) ? makeUp.descriptors[model] : undefined;
  if (descriptor === undefined || !Number.isInteger(serial) || serial < 0) return null;
  const few = makeUp.manufacturer[2] === SIGN_OF_FEW;
  const digits = String(serial).padStart(few ? 3 : 6, '0');
  const head = makeUp.manufacturer.slice(0, 3) + descriptor;
  const tail = yearSign(makeUp.modelYear) + makeUp.plant + (few ? makeUp.manufacturer.slice(3) : '') + digits;
  if (head.length + 1 + tail.length !== VIN_LENGTH) return null;
  const check = checkDigitOf(`${head}0${tail}`);
  if (check === null) return null;
  const vin = head + check + tail;
  return vinFaults(vin).length === 0 ? vin : null;
}

/**
 * The next VIN to offer for a trailer of `model`: its serial number is one more than the greatest that `used` have of the same maker, model
 * year and plant, whatever their model, the first 1. Null when the make-up has no descriptor for the model or the numbers are used up.
 */
export function nextTrailerVin(makeUp: VinMakeUp, model: string, used: Iterable<string>): string | null {
  let greatest = 0;
  for (const vin of used) {
    const parts = trailerVinParts(vin);
    if (parts?.manufacturer !== makeUp.manufacturer || parts.yearSign !== yearSign(makeUp.modelYear) || parts.plant !== makeUp.plant) continue;
    if (/^\d+$/.test(parts.serial)) greatest = Math.max(greatest, Number(parts.serial));
  }
  return trailerVin(makeUp, model, greatest + 1);
}

/** Positions (from 1) at which `vin` is not what the plant's make-up gives for `model`; the serial number and the check digit are not held against it. */
export function unlikeMakeUp(makeUp: VinMakeUp, model: string, vin: string): { position: number; sign: string; expected: string }[] {
  const pattern = trailerVin(makeUp, model, 0);
  if (pattern === null || vin.length !== VIN_LENGTH) return [];
  const fixed = makeUp.manufacturer.length === 6 ? 14 : 11;
  return [...vin].flatMap((sign, i) => (i < fixed && i !== 8 && sign !== pattern[i] ? [{ position: i + 1, sign, expected: pattern[i]! }] : []));
}
