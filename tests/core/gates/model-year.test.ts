import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { isYearSign, modelYears, yearSign } from '../../../server/core/gates/model-year.ts';

const published = JSON.parse(readFileSync(new URL('../../published/vin.json', import.meta.url), 'utf8')) as
  { modelYear: Record<string, string>; positionTenForbidden: string[] };

// Source: tests/published/vin.json, from the order of the 30 signs in 49 CFR 565.15 (Table VI).
it.each(Object.entries(published.modelYear))('has the sign of %s', (year, sign) => {
  expect(yearSign(Number(year))).toBe(sign);
  expect(modelYears(sign, 2039)).toContain(Number(year));
});

it('has no year for the signs that position 10 never has', () => {
  for (const sign of [...published.positionTenForbidden, '', 'AB', 'a']) {
    expect(isYearSign(sign)).toBe(false);
    expect(modelYears(sign, 2039)).toEqual([]);
  }
});

it('gives every year that the sign stands for, 30 apart, none after the last asked for', () => {
  fc.assert(fc.property(fc.integer({ min: 1980, max: 2150 }), fc.integer({ min: 1980, max: 2150 }), (year, last) => {
    const years = modelYears(yearSign(year), last);
    expect(years.includes(year)).toBe(year <= last);
    for (const [i, one] of years.entries()) {
      expect(yearSign(one)).toBe(yearSign(year));
      expect(one).toBeLessThanOrEqual(last);
      if (i > 0) expect(one - years[i - 1]!).toBe(30);
    }
  }));
});

it('has no sign for years that had none', () => {
  for (const year of [1979, 2026.5, Number.NaN]) expect(() => yearSign(year)).toThrow(RangeError);
});
