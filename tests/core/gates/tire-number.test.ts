import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { partNumberFault, partNumberIn } from '../../../server/core/gates/part-number.ts';
import { tireNumberFault, tireNumberIn } from '../../../server/core/gates/tire-number.ts';

describe('a tyre identification number', () => {
  it.each(['0XX123456', '0XXABCDEF'].map((front) => [`${front}2626`]))('of 13 signs is right in form: %s', (number) => expect(tireNumberFault(number)).toBeNull());

  // 49 CFR 574.5(a), copy of October 2024: 13 signs of new tyres, 7 of retreads; older tyres on hand show up to 12.
  it.each([[0, 'length'], [6, 'length'], [7, null], [8, null], [12, null], [13, null], [14, 'length']] as const)('of %i signs: %s', (length, fault) => {
    expect(tireNumberFault(length < 4 ? '' : `${'A'.repeat(length - 4)}0125`)).toBe(fault);
  });

  it.each([...'GIOQSZ', '-', '.', 'É'])('has no %s', (sign) => expect(tireNumberFault(`0XX${sign}234560125`)).toBe('sign'));

  // Weeks run from Sunday to Saturday, week 01 is the first full one; computed from that rule (2023 and 2028 have 53 Sundays).
  it.each([['0109', true], ['0125', true], ['5225', true], ['5226', true], ['5227', true], ['5323', true], ['5328', true], ['5326', false], ['5325', false], ['5324', false], ['0026', false], ['5426', false], ['9926', false]])('of the week %s exists: %s', (date, exists) => {
    expect(tireNumberFault(`0XX123456${date}`)).toBe(exists ? null : 'date');
  });

  it('has as many weeks a year as the year has Sundays', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 99 }), fc.integer({ min: 0, max: 99 }), (week, year) => {
      let sundays = 0;
      for (let day = Date.UTC(2000 + year, 0, 1); new Date(day).getUTCFullYear() === 2000 + year; day += 86_400_000) if (new Date(day).getUTCDay() === 0) sundays++;
      const two = (n: number): string => String(n).padStart(2, '0');
      expect(tireNumberFault(`0XX123456${two(week)}${two(year)}`) === null).toBe(week >= 1 && week <= sundays);
    }));
  });

  it('is read without DOT, spaces and dashes, in capitals', () => {
    expect(tireNumberIn(' dot 0xx 123456-2626 ')).toBe('0XX1234562626');
    expect(tireNumberIn('0XX1234562626')).toBe('0XX1234562626');
  });
});

describe('a component number', () => {
  it('is held against the form of its kind', () => {
    expect(partNumberFault(undefined, 'anything')).toBeNull();
    expect(partNumberFault('CV-\\d{4}', 'cv-0012')).toBeNull();
    expect(partNumberFault('CV-\\d{4}', 'CV-00123')).toBe('form');
    expect(partNumberFault('A|B', 'AB')).toBe('form');
    expect(partNumberFault('dotTin', 'DOT 0XX 123456 2626')).toBeNull();
    expect(partNumberFault('dotTin', 'DOT 0XX 123456 5326')).toBe('date');
  });

  it('is kept as it was said, but for a tyre’s', () => {
    expect(partNumberIn(undefined, ' a-1 ')).toBe('a-1');
    expect(partNumberIn('dotTin', 'dot 0xx 123456 2626')).toBe('0XX1234562626');
  });
});
