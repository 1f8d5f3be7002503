import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextTrailerVin, trailerVin, trailerVinParts, trailerYears, unlikeMakeUp } from '../../../server/core/gates/trailer-vin.ts';
import { vinFaults } from '../../../server/core/gates/vin.ts';
import type { VinMakeUp } from '../../../server/core/setup/quality.ts';

interface Synthetic { vin: string; sixCharId: boolean; manufacturerId: string; modelYearCode: string; modelYearCandidates: number[] }
const { synthetic } = JSON.parse(readFileSync(new URL('../../published/vin.json', import.meta.url), 'utf8')) as { synthetic: Synthetic[] };

const many: VinMakeUp = { manufacturer: '0ZZ', descriptors: { L24: 'TB242', L29: 'TB292' }, modelYear: 2026, plant: '0' };
const few: VinMakeUp = { manufacturer: '0Z9999', descriptors: { L24: 'TB302' }, modelYear: 2026, plant: '1' };

// Source: tests/published/vin.json. A first character 0 is of no region of ISO 3780 (from memory), so no maker is meant.
describe('the parts of a VIN', () => {
  it.each(synthetic)('$vin', ({ vin, sixCharId, manufacturerId, modelYearCode, modelYearCandidates }) => {
    const parts = trailerVinParts(vin)!;
    expect(parts.manufacturer).toBe(manufacturerId);
    expect(parts.manufacturer).toHaveLength(sixCharId ? 6 : 3);
    expect(parts.serial).toHaveLength(sixCharId ? 3 : 6);
    expect(parts.yearSign).toBe(modelYearCode);
    expect(trailerYears(vin, 2039)).toEqual(modelYearCandidates);
  });

  it('are not told of a VIN in which something is wrong', () => {
    expect(trailerVinParts('0Z9BT3025T1999001')).toBeNull();
    expect(trailerYears('', 2039)).toEqual([]);
  });
});

describe('the VIN of a trailer', () => {
  it('is put together as the published ones are', () => {
    expect(trailerVin(few, 'L24', 1)).toBe('0Z9BT3024T1999001'.replace('BT302', 'TB302').replace('4T', `${trailerVin(few, 'L24', 1)![8]}T`));
    expect(trailerVin({ ...few, descriptors: { L24: 'BT302' } }, 'L24', 1)).toBe('0Z9BT3024T1999001');
    expect(trailerVin({ ...few, descriptors: { L24: 'BT302' } }, 'L24', 2)).toBe('0Z9BT3026T1999002');
    expect(trailerVin({ ...many, descriptors: { L24: 'TB252' } }, 'L24', 417)).toBe('0ZZTB2525T0000417');
  });

  it('is right, and gives back what it was put together from', () => {
    fc.assert(fc.property(fc.constantFrom(many, few), fc.integer({ min: 1980, max: 2060 }), fc.integer({ min: 0, max: 999 }), (makeUp, modelYear, serial) => {
      const vin = trailerVin({ ...makeUp, modelYear }, 'L24', serial)!;
      expect(vinFaults(vin)).toEqual([]);
      const parts = trailerVinParts(vin)!;
      expect(parts).toMatchObject({ manufacturer: makeUp.manufacturer, descriptor: makeUp.descriptors['L24'], plant: makeUp.plant });
      expect(Number(parts.serial)).toBe(serial);
      expect(trailerYears(vin, 2060)).toContain(modelYear);
      expect(unlikeMakeUp({ ...makeUp, modelYear }, 'L24', vin)).toEqual([]);
    }));
  });

  it('is not made without a descriptor of the model, or past the last number', () => {
    expect(trailerVin(few, 'L36', 1)).toBeNull();
    expect(trailerVin(few, 'L24', 1_000)).toBeNull();
    expect(trailerVin(many, 'L24', 1_000_000)).toBeNull();
    expect(trailerVin(many, 'L24', -1)).toBeNull();
    expect(trailerVin(many, 'L24', 1.5)).toBeNull();
    expect(trailerVin({ ...many, manufacturer: '0OZ' }, 'L24', 1)).toBeNull();
  });
});

describe('the next VIN offered', () => {
  const ends = (vin: string | null) => vin?.slice(11);

  it('is one after the greatest of the same maker, year and plant, whatever the model', () => {
    expect(ends(nextTrailerVin(many, 'L24', []))).toBe('000001');
    const used = [trailerVin(many, 'L24', 7)!, trailerVin(many, 'L29', 12)!, trailerVin(many, 'L24', 3)!];
    expect(ends(nextTrailerVin(many, 'L24', used))).toBe('000013');
    expect(ends(nextTrailerVin(many, 'L24', [...used, 'nonsense', trailerVin({ ...many, modelYear: 2027 }, 'L24', 99)!, trailerVin({ ...many, plant: '2' }, 'L24', 98)!]))).toBe('000013');
  });

  it('is none when the numbers of a maker of few are used up', () => {
    expect(nextTrailerVin(few, 'L24', [trailerVin(few, 'L24', 998)!])).toMatch(/999$/);
    expect(nextTrailerVin(few, 'L24', [trailerVin(few, 'L24', 999)!])).toBeNull();
  });

  it('was never used', () => {
    fc.assert(fc.property(fc.array(fc.integer({ min: 1, max: 900 }), { maxLength: 30 }), fc.constantFrom(many, few), (serials, makeUp) => {
      const used = serials.map((serial) => trailerVin(makeUp, 'L24', serial)!);
      expect(used).not.toContain(nextTrailerVin(makeUp, 'L24', used));
    }));
  });
});

it('names the positions at which a VIN is not of the plant\'s make-up for the model', () => {
  const vin = trailerVin(many, 'L29', 5)!;
  expect(unlikeMakeUp(many, 'L29', vin)).toEqual([]);
  expect(unlikeMakeUp(many, 'L24', vin)).toEqual([{ position: 7, sign: '9', expected: '4' }]);
  expect(unlikeMakeUp({ ...many, modelYear: 2027 }, 'L29', vin)).toEqual([{ position: 10, sign: 'T', expected: 'V' }]);
  expect(unlikeMakeUp(many, 'L36', vin)).toEqual([]);
  expect(unlikeMakeUp(many, 'L29', '0ZZ')).toEqual([]);
});
