import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hasRightCheckDigit, isVinForm } from '../../../kiosk/data/vin-check.ts';
import { checkDigit } from '../../../seed/trailer-vin.ts';

/** 49 CFR 565.15, sample calculation: sum 411, check digit 4. The others are public worked examples, recomputed. */
const RIGHT = ['11111111111111111', '1M8GDM9AXKP042788', '1G4AH59H45G118341', 'JH2RC3605MM101581', '1G1BL52P7TR115520', '1HGCM82633A004352', '5GZCZ43D13S812715', '0Z9BT3024T1999001', '0ZZTB2115W0000001'];
const WRONG_DIGIT = ['1M8GDM9A0KP042788', '11111111111111112', '1G4AH59H55G118341', '1M8GDM9AXKP042878', '1HGCM82633A004353', 'JH2RC3605MM101518', '1M8GDM9AAKP042788'];
const WRONG_FORM = ['1M8GDM9AXKPO42788', 'IM8GDM9AXKP042788', '1M8QDM9AXKP042788', '1M8GDM9AXKP04278', '1M8GDM9AXKP0427888', ''];

describe('the check digit of a VIN', () => {
  it.each(RIGHT)('is right in %s', (vin) => {
    expect(isVinForm(vin)).toBe(true);
    expect(hasRightCheckDigit(vin)).toBe(true);
  });

  it.each(WRONG_DIGIT)('catches the misread %s', (vin) => {
    expect(isVinForm(vin)).toBe(true);
    expect(hasRightCheckDigit(vin)).toBe(false);
  });

  it.each(WRONG_FORM)('has no place in "%s"', (vin) => expect(isVinForm(vin)).toBe(false));

  it('agrees with the other way to reckon it here, for any VIN', () => {
    const signs = '0123456789ABCDEFGHJKLMNPRSTUVWXYZ';
    fc.assert(fc.property(fc.array(fc.constantFrom(...signs), { minLength: 17, maxLength: 17 }), (drawn) => {
      const vin = drawn.join('');
      expect(hasRightCheckDigit(vin)).toBe(checkDigit(vin) === vin[8]);
    }));
  });

  it('does not prove a VIN: some letters count the same', () => {
    expect(hasRightCheckDigit('JM8GDM9AXKP042788')).toBe(true);
  });
});
