import { expect, it } from 'vitest';
import { checkDigit, inventedVin } from '../../seed/trailer-vin.ts';

// Published worked examples: 49 CFR 565 sample calculation (1G4AH59H45G118341, check digit 4), and public test VINs
// 1M8GDM9AXKP042788 (X) and 11111111111111111 (1).
it.each([['1G4AH59H45G118341', '4'], ['1M8GDM9AXKP042788', 'X'], ['11111111111111111', '1'], ['5GZCZ43D13S812715', '1']])(
  'finds the check digit of %s', (vin, digit) => expect(checkDigit(vin)).toBe(digit));

it('invents VINs of 17 signs that pass their own check digit', () => {
  for (let serial = 0; serial < 500; serial++) {
    const vin = inventedVin(serial, 8.9);
    expect(vin).toMatch(/^0[0-9A-HJ-NPR-Z]{16}$/);
    expect(vin[8]).toBe(checkDigit(vin));
  }
});
