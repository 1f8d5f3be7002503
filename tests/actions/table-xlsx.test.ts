import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { tableXlsx } from '../../server/actions/table-xlsx.ts';
import type { Table } from '../../server/core/tables/table.ts';
import { type ReadCell, readXlsx } from '../support/read-xlsx.ts';

const ZONE = 'America/Indiana/Indianapolis';
const table: Table = {
  title: 'Dwell: and/or delay', timeZone: ZONE,
  columns: [{ name: 'serial', type: 'text' }, { name: 'visits', type: 'number' }, { name: 'dwell', type: 'minutes' }, { name: 'arrived', type: 'instant' }, { name: 'promise', type: 'date' }],
  rows: [
    ['=HYPERLINK("x")', 12, 47.25, Date.parse('2026-06-01T10:05:00Z'), '2026-06-05'],
    ['  Ramp & "step" <2>\nnext', -3, 0, Date.parse('2026-12-01T11:00:00Z'), '2028-02-29'],
    [null, null, null, null, null],
  ],
};
/** Days since 1899-12-30, as spreadsheets count from March 1900 on, to the date and time they show. */
const shown = (serial: number): string => new Date(Math.round(Date.UTC(1899, 11, 30) / 1_000 + serial * 86_400) * 1_000).toISOString().slice(0, 16);
const cellsOf = (row: Map<string, ReadCell>): unknown[] => ['A', 'B', 'C', 'D', 'E'].map((column) => row.get(column) ?? null);

describe('tableXlsx', () => {
  it('holds real numbers, real dates and text that is no formula', async () => {
    const { name, rows } = readXlsx(await tableXlsx(table));
    expect(name).toBe('Dwell  and or delay');
    expect(cellsOf(rows[0]!)).toEqual(['serial', 'visits', 'dwell', `arrived (${ZONE})`, 'promise'].map((text) => ({ text })));
    const first = rows[1]!;
    expect(first.get('A')).toEqual({ text: '=HYPERLINK("x")' });
    expect(first.get('B')).toEqual({ number: 12, format: 'General' });
    expect(first.get('C')).toEqual({ number: 47.25, format: '0.0' });
    expect(first.get('D')).toMatchObject({ format: 'yyyy-mm-dd hh:mm' });
    expect(first.get('E')).toMatchObject({ format: 'yyyy-mm-dd' });
    // By hand: in Indianapolis 10:05 UTC is 06:05 in June, 11:00 UTC is 06:00 in December. 5 June 2026 is day 46178.
    expect(shown((first.get('D') as { number: number }).number)).toBe('2026-06-01T06:05');
    expect(first.get('E')).toMatchObject({ number: 46_178 });
    const second = rows[2]!;
    expect(second.get('A')).toEqual({ text: '  Ramp & "step" <2>\nnext' });
    expect(second.get('B')).toMatchObject({ number: -3 });
    expect(shown((second.get('D') as { number: number }).number)).toBe('2026-12-01T06:00');
    expect(shown((second.get('E') as { number: number }).number)).toBe('2028-02-29T00:00');
    expect(JSON.stringify([...rows.map((row) => [...row.values()])])).not.toContain('formula');
  });

  it('keeps nothing to tell apart from 0 and from empty text', async () => {
    const rows: Table['rows'] = [[null, null], ['', 0]];
    const read = readXlsx(await tableXlsx({ ...table, columns: table.columns.slice(0, 2), rows })).rows;
    expect(read[2]!.get('B')).toMatchObject({ number: 0 });
    expect(read[1]!.size).toBe(0);
  });

  it('keeps text that every object has as a property, with a space behind it', async () => {
    const rows = ['constructor', '__proto__', 'toString', 'U1'].map((text) => [text]);
    const read = readXlsx(await tableXlsx({ ...table, columns: table.columns.slice(0, 1), rows })).rows.slice(1);
    expect(read.map((row) => row.get('A'))).toEqual([{ text: 'constructor ' }, { text: '__proto__ ' }, { text: 'toString ' }, { text: 'U1' }]);
  });

  it('cuts text that no cell holds, and leaves out what XML does not know', async () => {
    const read = readXlsx(await tableXlsx({ ...table, columns: table.columns.slice(0, 1), rows: [['x'.repeat(40_000)], ['a\u0001b\ud800c']] })).rows;
    expect((read[1]!.get('A') as { text: string }).text).toHaveLength(32_767);
    expect(read[2]!.get('A')).toEqual({ text: 'abc' });
  });

  it('gives a sheet a name that a sheet may have', async () => {
    const named = async (title: string): Promise<string> => readXlsx(await tableXlsx({ ...table, title })).name;
    expect(await named('')).toBe('Table');
    expect(await named("'[a]*?'")).toMatch(/^[^[\]:*?/\\']{1,31}$/);
    expect((await named('A name that is longer than thirty-one characters')).length).toBeLessThanOrEqual(31);
  });

  it('gives back what it was given, whatever the zone, the instant and the text', async () => {
    const instant = fc.integer({ min: Date.parse('2000-01-01'), max: Date.parse('2099-12-31') });
    // The letters that the wire lets through; U+FFFD stands for a letter that was lost before, and the writer of the sheet leaves it out.
    const text = fc.string({ unit: 'grapheme', maxLength: 40 }).filter((value) => !/[\u0000-\u001f\u007f\ufffd]/.test(value));
    await fc.assert(fc.asyncProperty(fc.constantFrom(ZONE, 'UTC', 'Europe/London', 'Australia/Lord_Howe'), fc.array(fc.tuple(text, fc.double({ noNaN: true, noDefaultInfinity: true }), instant), { minLength: 1, maxLength: 5 }), async (timeZone, draws) => {
      const columns: Table['columns'] = [{ name: 'a', type: 'text' }, { name: 'b', type: 'number' }, { name: 'c', type: 'instant' }, { name: 'd', type: 'date' }];
      const day = (t: number): string => DateTime.fromMillis(t, { zone: timeZone }).toISODate()!;
      const { rows } = readXlsx(await tableXlsx({ title: 'T', timeZone, columns, rows: draws.map(([a, b, t]) => [a, b, t, day(t)]) }));
      draws.forEach(([a, b, t], i) => {
        const row = rows[i + 1]!;
        if (a !== '') expect(row.get('A')).toEqual({ text: a in {} ? `${a} ` : a });
        expect((row.get('B') as { number: number }).number).toBe(b === 0 ? 0 : b);
        expect(shown((row.get('C') as { number: number }).number)).toBe(DateTime.fromMillis(t, { zone: timeZone }).toFormat("yyyy-MM-dd'T'HH:mm"));
        expect(shown((row.get('D') as { number: number }).number)).toBe(`${day(t)}T00:00`);
      });
    }), { numRuns: 60 });
  });

  it('refuses what does not fit its columns, and more rows than a sheet holds', async () => {
    await expect(tableXlsx({ ...table, rows: [['a', 'b', 1, 1, '2026-01-01']] })).rejects.toThrow('no number');
    await expect(tableXlsx({ ...table, columns: [], rows: Array.from({ length: 1_048_576 }, () => []) })).rejects.toThrow('1048575');
  });
});
