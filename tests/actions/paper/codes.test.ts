import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canHold, codePng } from '../../../server/actions/paper/codes.ts';
import { readCodes } from '../../support/read-codes.ts';

const signs = (alphabet: string, maxLength: number, minLength = 3) => fc.string({ unit: fc.constantFrom(...alphabet), minLength, maxLength });
const ASCII = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i)).join('');

// The decoder takes some Code 39 of six signs for Code 32, which is Code 39 read another way.
describe('a code that was printed', () => {
  it.each([
    ['code39', 'Code39', signs('0123456789ABCDEFGHJKLMNPRSTUVWXYZ', 20, 7)], ['code128', 'Code128', signs(ASCII, 20).filter((text) => text.trim() === text)],
    ['qrcode', 'QRCode', signs(`${ASCII}äñ漢`, 40)], ['datamatrix', 'DataMatrix', signs(ASCII, 30)],
  ] as const)('as %s is read back as it was by another decoder', async (symbology, format, texts) => {
    await fc.assert(fc.asyncProperty(texts, async (text) => {
      expect(canHold(symbology, text)).toBe(true);
      expect(await readCodes(await codePng(symbology, text))).toEqual([{ format, text }]);
    }), { numRuns: 20 });
  });

  it('is not printed where the symbology cannot hold it', () => {
    expect(canHold('code39', 'cf104')).toBe(false);
    expect(canHold('code39', '')).toBe(false);
    expect(canHold('code128', 'CF-ñ')).toBe(false);
    expect(canHold('code128', 'X'.repeat(33))).toBe(false);
    expect(canHold('qrcode', '漢'.repeat(200))).toBe(false);
  });
});
