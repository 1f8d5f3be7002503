import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tableCsv } from '../../server/actions/table-csv.ts';
import type { Table } from '../../server/core/tables/table.ts';

const textTable = (rows: string[]): Table => ({ title: 'T', timeZone: 'UTC', columns: [{ name: 'a', type: 'text' }], rows: rows.map((text) => [text]) });
const read = (csv: string): string[][] => parse(csv, { skip_empty_lines: false }) as string[][];

describe('tableCsv', () => {
  it('writes each type as a reader expects it', () => {
    const csv = tableCsv({
      title: 'T', timeZone: 'America/Indiana/Indianapolis',
      columns: [{ name: 'serial', type: 'text' }, { name: 'ahead', type: 'number' }, { name: 'dwell', type: 'minutes' }, { name: 'arrived', type: 'instant' }, { name: 'promise', type: 'date' }],
      rows: [['U1, "left"', -3.5, 47.256, Date.parse('2026-06-01T10:05:59Z'), '2026-06-05'], [null, null, null, null, null]],
    });
    expect(csv).toBe('serial,ahead,dwell,arrived (America/Indiana/Indianapolis),promise\r\n"U1, ""left""",-3.5,47.26,2026-06-01 06:05,2026-06-05\r\n,,,,\r\n');
  });

  // OWASP, CSV injection: = + - @ tab return, and full-width forms.
  it('keeps text from running as a formula', () => {
    const dangerous = ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', '\n=1', '  =1', '＝1', '＋1', '－1', '＠A'];
    expect(read(tableCsv(textTable(dangerous))).slice(1).map(([cell]) => cell)).toEqual(dangerous.map((text) => `'${text}`));
    expect(read(tableCsv({ ...textTable([]), columns: [{ name: '=x', type: 'text' }] }))).toEqual([["'=x"]]);
  });

  it('changes no other text', () => {
    const harmless = ['CH10', 'a=b', '10-4', "O'Dell", 'más', '', ' U1 '];
    expect(read(tableCsv(textTable(['x', ...harmless]))).slice(2).map(([cell]) => cell)).toEqual(harmless);
  });

  it('gives back its text to a reader, an apostrophe before what would run', () => {
    fc.assert(fc.property(fc.array(fc.string({ unit: 'grapheme' }), { minLength: 1 }), (texts) => {
      const cells = read(tableCsv({ ...textTable([]), columns: [{ name: 'n', type: 'number' }, { name: 'a', type: 'text' }], rows: texts.map((text) => [1, text]) })).slice(1).map(([, cell]) => cell!);
      cells.forEach((cell, i) => {
        expect([texts[i], `'${texts[i]}`]).toContain(cell);
        expect(cell).not.toMatch(/^\s*[=+\-@]/);
      });
    }));
  });

  it('refuses a cell that is not of its column', () => {
    expect(() => tableCsv({ ...textTable([]), columns: [{ name: 'd', type: 'date' }], rows: [['5 June']] })).toThrow('no date');
  });
});
