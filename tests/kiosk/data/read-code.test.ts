import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type KnownCodes, readCode } from '../../../kiosk/data/read-code.ts';

const VIN = '1M8GDM9AXKP042788';
const known: KnownCodes = {
  serial: (code) => ({ CF104310: 'CF104310', S12: 'S12', 'CF-X7': 'cf-x7' })[code] ?? null,
  vin: (vin) => (vin === VIN ? 'CF104310' : null),
};
const nobody: KnownCodes = { serial: () => null, vin: () => null };
const read = (scanned: string, codes?: Parameters<typeof readCode>[1]): ReturnType<typeof readCode> => readCode(scanned, codes, known);

describe('a scanned code', () => {
  it('is the unit whose serial or VIN it is', () => {
    expect(read('CF104310')).toEqual({ kind: 'unit', code: 'CF104310' });
    expect(read(VIN)).toEqual({ kind: 'unit', code: 'CF104310' });
    expect(read('cf-x7')).toEqual({ kind: 'unit', code: 'cf-x7' });
  });

  it('loses the identifiers that labels carry: I before a VIN, S before a serial the plant has', () => {
    expect(read(`I${VIN}`)).toEqual({ kind: 'unit', code: 'CF104310' });
    expect(read('SCF104310')).toEqual({ kind: 'unit', code: 'CF104310' });
    expect(read('S12')).toEqual({ kind: 'unit', code: 'S12' });
    expect(read('SX99')).toEqual({ kind: 'unit', code: 'SX99' });
  });

  it('loses the sort of symbol that some scanners put in front', () => {
    for (const prefix of [']A0', ']C0', ']Q1', ']d1']) expect(read(`${prefix}I${VIN}`)).toEqual({ kind: 'unit', code: 'CF104310' });
  });

  it('in a Data Matrix envelope is the field that tells', () => {
    const fields = ['P7701', 'SCF104310', 'T2026'];
    expect(read(`[)>\u001e06\u001d${fields.join('\u001d')}\u001e\u0004`)).toEqual({ kind: 'unit', code: 'CF104310' });
    expect(read(`[)>\u001e06\u001dI1M8GDM9A0KP042788\u001e\u0004`)).toMatchObject({ kind: 'misread' });
  });

  it('misread shows by the check digit, or by a sign where no VIN has it', () => {
    expect(read('1M8GDM9A0KP042788')).toEqual({ kind: 'misread', code: '1M8GDM9A0KP042788', why: 'checkDigit' });
    expect(read('I1M8GDM9A0KP042788')).toEqual({ kind: 'misread', code: '1M8GDM9A0KP042788', why: 'checkDigit' });
    expect(read('1M8GDM9AXKPO42788')).toEqual({ kind: 'misread', code: '1M8GDM9AXKPO42788', why: 'sign' });
  });

  it('misread in one sign that counts otherwise is never taken for a unit', () => {
    const signs = '0123456789ABCDEFGHJKLMNPRSTUVWXYZ';
    fc.assert(fc.property(fc.nat(16), fc.constantFrom(...signs), (at, sign) => {
      const misread = VIN.slice(0, at) + sign + VIN.slice(at + 1);
      const found = readCode(misread, undefined, nobody);
      // Letters of one value (49 CFR 565.15, Table III) cannot be told apart.
      const value = (c: string): number => (/\d/.test(c) ? Number(c) : [1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 0, 7, 0, 9, 2, 3, 4, 5, 6, 7, 8, 9][c.charCodeAt(0) - 65]!);
      const same = at === 8 ? sign === 'X' : value(sign) === value(VIN[at]!);
      // A trailer's last four are digits, and U, Z and 0 stand for no model year.
      const mayStand = at >= 13 ? /\d/.test(sign) : at !== 9 || !'UZ0'.includes(sign);
      expect(found.kind).toBe(same && mayStand ? 'unit' : 'misread');
    }));
  });

  it('of a serial with seventeen signs that the plant has is that unit, whatever its check digit', () => {
    expect(readCode('A0000000000000001', undefined, { ...nobody, serial: (code) => code })).toMatchObject({ kind: 'unit' });
  });

  it('of a badge or a component says so in front, while the plant has not said otherwise', () => {
    expect(read('badge-S05')).toEqual({ kind: 'badge', code: 'badge-S05' });
    expect(read('BADGE:1234')).toEqual({ kind: 'badge', code: 'BADGE:1234' });
    expect(read('COMP-AX-77')).toEqual({ kind: 'component', code: 'COMP-AX-77' });
    expect(read('anything else')).toEqual({ kind: 'unit', code: 'anything else' });
  });

  it('is told by what the plant says of its labels: what they begin with, or a regular expression for the whole', () => {
    const codes = { badge: ['/^E(?<code>\\d{4})$/'], unit: ['/^CF\\d{6}$/', 'LF-'], component: ['1P'] };
    expect(read('E0042', codes)).toEqual({ kind: 'badge', code: '0042' });
    expect(read('e0042', codes)).toEqual({ kind: 'badge', code: '0042' });
    expect(read('E00421', codes)).toEqual({ kind: 'unknown', code: 'E00421' });
    expect(read('CF999999', codes)).toEqual({ kind: 'unit', code: 'CF999999' });
    expect(read('lf-9', codes)).toEqual({ kind: 'unit', code: 'lf-9' });
    expect(read('1P88', codes)).toEqual({ kind: 'component', code: '1P88' });
    expect(read('badge-1', codes)).toEqual({ kind: 'unknown', code: 'badge-1' });
  });

  it('is never lost: whatever is scanned comes back as something to act on or to ask about', () => {
    fc.assert(fc.property(fc.string({ minLength: 1, maxLength: 60 }), (scanned) => {
      expect(['unit', 'badge', 'component', 'misread', 'unknown']).toContain(readCode(scanned, undefined, nobody).kind);
    }));
  });
});
