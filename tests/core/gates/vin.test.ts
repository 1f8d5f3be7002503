import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkDigitOf, valueOfSign, weightedSum } from '../../../server/core/gates/vin-signs.ts';
import { vinFaultCodes, vinFaults, vinIn } from '../../../server/core/gates/vin.ts';

interface Published {
  transliteration: Record<string, number>;
  forbidden: string[];
  positionTenForbidden: string[];
  right: { vin: string; sum: number; checkDigit: string }[];
  synthetic: { vin: string; sum: number; checkDigit: string }[];
  wrong: { vin: string; why: string; error: 'checkDigit' | 'illegalCharacter' | 'length'; expectedCheckDigit?: string | null }[];
  undetectable: { base: string; examples: string[] };
}
const published = JSON.parse(readFileSync(new URL('../../published/vin.json', import.meta.url), 'utf8')) as Published;
const right = [...published.right, ...published.synthetic];
const SIGNS = Object.keys(published.transliteration);

/** A second opinion: the check digit that makes the sum with its own weight of -1 divisible by 11, found by trying. */
function tried(vin: string): string {
  const weights = [8, 7, 6, 5, 4, 3, 2, 10, -1, 9, 8, 7, 6, 5, 4, 3, 2];
  const fits = [...'0123456789X'].filter((check) => {
    const sum = [...vin].reduce((total, sign, i) => total + (i === 8 ? (check === 'X' ? 10 : Number(check)) : published.transliteration[sign]!) * weights[i]!, 0);
    return sum % 11 === 0;
  });
  expect(fits).toHaveLength(1);
  return fits[0]!;
}

/** Seventeen signs that a trailer may have, with their check digit. */
const anyVin = fc.tuple(
  fc.array(fc.constantFrom(...SIGNS), { minLength: 8, maxLength: 8 }), fc.constantFrom(...SIGNS.filter((sign) => !published.positionTenForbidden.includes(sign))),
  fc.array(fc.constantFrom(...SIGNS), { minLength: 3, maxLength: 3 }), fc.integer({ min: 0, max: 9_999 }),
).map(([head, year, middle, serial]) => {
  const vin = `${head.join('')}0${year}${middle.join('')}${String(serial).padStart(4, '0')}`;
  return vin.slice(0, 8) + tried(vin) + vin.slice(9);
});
const withSign = (vin: string, i: number, sign: string): string => vin.slice(0, i) + sign + vin.slice(i + 1);

// Source of all values: tests/published/vin.json (49 CFR 565 sample calculation and public worked examples, recomputed).
describe('a right VIN', () => {
  it.each(right)('$vin has sum $sum, check digit $checkDigit, and nothing wrong', ({ vin, sum, checkDigit }) => {
    expect(weightedSum(vin)).toBe(sum);
    expect(checkDigitOf(vin)).toBe(checkDigit);
    expect(vinFaults(vin)).toEqual([]);
    expect(vinFaultCodes(vin)).toBe('');
  });

  it('has signs of the published values only', () => {
    for (const [sign, value] of Object.entries(published.transliteration)) expect(valueOfSign(sign)).toBe(value);
    for (const sign of [...published.forbidden, 'a', '-', ' ', 'Ñ', 'constructor']) expect(valueOfSign(sign)).toBeNull();
  });

  it('has the check digit that a second way of telling it gives', () => {
    fc.assert(fc.property(anyVin, (vin) => {
      expect(checkDigitOf(vin)).toBe(vin[8]);
      expect(vinFaults(vin)).toEqual([]);
    }));
  });
});

describe('a wrong VIN', () => {
  it.each(published.wrong)('$vin: $why', ({ vin, error, expectedCheckDigit }) => {
    const [first] = vinFaults(vin);
    expect(first?.kind).toBe(error);
    if (error === 'checkDigit') expect(first).toEqual({ kind: 'checkDigit', position: 9, sign: vin[8], expected: expectedCheckDigit });
  });

  it('is explained to the character', () => {
    expect(vinFaults('1M8GDM9AXKPO42788')).toEqual([{ kind: 'illegalCharacter', position: 12, sign: 'O', instead: '0' }]);
    expect(vinFaults('IM8GDM9AXKP042788')).toEqual([{ kind: 'illegalCharacter', position: 1, sign: 'I', instead: '1' }]);
    expect(vinFaults('1M8GDM9AXKP04278Ñ')).toEqual([{ kind: 'illegalCharacter', position: 17, sign: 'Ñ', instead: null }]);
    expect(vinFaults('1M8GO')).toEqual([{ kind: 'length', length: 5 }, { kind: 'illegalCharacter', position: 5, sign: 'O', instead: '0' }]);
    expect(vinFaults('')).toEqual([{ kind: 'length', length: 0 }]);
    expect(vinFaultCodes('1M8GDM9A0KP042788')).toBe('checkDigit 9');
    expect(vinFaultCodes('1M8GO')).toBe('length 5, illegalCharacter 5');
  });

  it('may have a sign in position 10 that is of no model year, or a letter among its last four', () => {
    for (const sign of ['U', 'Z', '0']) {
      const vin = withSign('1M8GDM9AXKP042788', 9, sign);
      expect(vinFaults(withSign(vin, 8, checkDigitOf(vin)!))).toEqual([{ kind: 'modelYear', position: 10, sign }]);
    }
    const vin = withSign('1M8GDM9AXKP042788', 14, 'A');
    expect(vinFaults(withSign(vin, 8, checkDigitOf(vin)!))).toEqual([{ kind: 'notDigit', position: 15, sign: 'A' }]);
  });

  it('with one other sign of another value outside position 9 is always caught', () => {
    fc.assert(fc.property(anyVin, fc.nat(16), fc.constantFrom(...SIGNS), (vin, i, sign) => {
      fc.pre(i !== 8 && valueOfSign(sign) !== valueOfSign(vin[i]!));
      expect(vinFaults(withSign(vin, i, sign)).length).toBeGreaterThan(0);
      expect(checkDigitOf(withSign(vin, i, sign))).not.toBe(vin[8]);
    }));
  });

  it('with another check digit is always caught', () => {
    fc.assert(fc.property(anyVin, fc.constantFrom(...SIGNS), (vin, sign) => {
      fc.pre(sign !== vin[8]);
      expect(vinFaults(withSign(vin, 8, sign))).toMatchObject([{ kind: 'checkDigit', sign, expected: vin[8] }]);
    }));
  });

  it('with two neighbours of different value exchanged, neither in position 9, is always caught', () => {
    fc.assert(fc.property(anyVin, fc.nat(15), (vin, i) => {
      const [a, b] = [vin[i]!, vin[i + 1]!];
      fc.pre(i !== 7 && i !== 8 && valueOfSign(a) !== valueOfSign(b));
      expect(checkDigitOf(withSign(withSign(vin, i, b), i + 1, a))).not.toBe(vin[8]);
    }));
  });

  it('is caught at every one of the 3,320 exchanges of a sign in the published VINs and 76 of neighbours', () => {
    let [signs, neighbours] = [0, 0];
    for (const { vin } of published.right) {
      for (let i = 0; i < 17; i++) {
        if (i === 8) continue;
        for (const sign of SIGNS) {
          if (valueOfSign(sign) === valueOfSign(vin[i]!)) continue;
          signs++;
          expect(checkDigitOf(withSign(vin, i, sign))).not.toBe(vin[8]);
        }
        if (i === 7 || i === 16 || valueOfSign(vin[i]!) === valueOfSign(vin[i + 1]!)) continue;
        neighbours++;
        expect(checkDigitOf(withSign(withSign(vin, i, vin[i + 1]!), i + 1, vin[i]!))).not.toBe(vin[8]);
      }
    }
    expect([signs, neighbours]).toEqual([3_320, 76]);
  });

  it('is not caught where a sign stands for another of the same value: a right check digit proves nothing', () => {
    for (const vin of published.undetectable.examples) expect(checkDigitOf(vin)).toBe(vin[8]);
  });

  it('never throws, whatever was typed', () => {
    fc.assert(fc.property(fc.string({ unit: 'grapheme', maxLength: 30 }), (text) => {
      const faults = vinFaults(vinIn(text));
      for (const fault of faults) if ('position' in fault) expect([...vinIn(text)][fault.position - 1]).toBe(fault.sign);
    }));
  });
});

describe('what was typed or scanned', () => {
  it('is read in capitals, without spaces, hyphens and the stars of Code 39', () => {
    expect(vinIn(' 1m8gdm9-axkp 042788 ')).toBe('1M8GDM9AXKP042788');
    expect(vinIn('*1M8GDM9AXKP042788*')).toBe('1M8GDM9AXKP042788');
  });

  it('may begin with the data identifier I, which no VIN contains', () => {
    fc.assert(fc.property(anyVin, (vin) => {
      expect(vinIn(`I${vin}`)).toBe(vin);
    }));
    expect(vinIn('IM8GDM9AXKP042788')).toBe('IM8GDM9AXKP042788');
    expect(vinIn('1M8GDM9AXKP0427888')).toBe('1M8GDM9AXKP0427888');
  });
});
