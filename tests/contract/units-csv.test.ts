import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseUnitsCsv, UNIT_COLUMNS } from '../../server/contract/units-csv.ts';
import { demoPlant } from '../../seed/load-demo.ts';
import { aLine, aPlant, aStation } from '../support/given.ts';

const plant = aPlant(aLine([aStation('A')]), { A: 10 }, { timeZone: 'America/Indiana/Indianapolis', options: [{ code: 'SOLAR', name: 'Solar', minutes: {} }, { code: 'COLD', name: 'Cold', minutes: {} }] });
const header = UNIT_COLUMNS.join(',');
const parse = (...lines: string[]) => parseUnitsCsv([header, ...lines].join('\n'), plant);

describe('parseUnitsCsv', () => {
  it('reads the example file of the guide without a problem', () => {
    const example = readFileSync(new URL('../../seed/units-example.csv', import.meta.url), 'utf8');
    const { rows, problems } = parseUnitsCsv(example, demoPlant(Date.parse('2026-11-30T15:00:00Z')));
    expect(problems).toEqual([]);
    expect(rows.map(({ unit, options, plannedRelease }) => [unit, options.length, plannedRelease !== null])).toEqual([['CF105001', 0, true], ['CF105002', 1, true], ['CF105003', 2, false]]);
    expect(example.split('\n')[0]).toBe(UNIT_COLUMNS.join(','));
  });

  it('reads a row, local times in the plant\'s zone', () => {
    const { rows, problems } = parse('CF1,M,SOLAR+COLD,SO-1,"Dealer 01, north",3,2026-11-30 06:45,2026-12-04,2026-12-07');
    expect(problems).toEqual([]);
    expect(rows).toEqual([{
      line: 2, unit: 'CF1', model: 'M', options: ['SOLAR', 'COLD'], order: 'SO-1', dealer: 'Dealer 01, north', sequence: 3,
      plannedRelease: Date.parse('2026-11-30T06:45:00-05:00'), wish: '2026-12-04', promise: '2026-12-07',
    }]);
  });

  it('takes columns in any order, semicolons, a byte order mark and CRLF', () => {
    const { rows } = parseUnitsCsv('\ufeffModel;Sequence;Serial\r\nM;1;CF1\r\n\r\nM;2;CF2\r\n', plant);
    expect(rows.map(({ unit, sequence }) => [unit, sequence])).toEqual([['CF1', 1], ['CF2', 2]]);
  });

  it('names every bad cell by line and column, and keeps the good rows', () => {
    const { rows, problems } = parse('CF1,M,,,,1,,,', 'CF2,Z,GOLD,,,x,31.12.,2026-02-30,soon', 'CF1,M,,,,4,,,');
    expect(rows.map(({ line }) => line)).toEqual([2]);
    expect(problems.map(({ line, column }) => `${line} ${column}`)).toEqual(['3 model', '3 options', '3 sequence', '3 planned_release', '3 dealer_wish', '3 promise', '4 serial']);
  });

  it('takes the separator from the first line, so that a comma in a cell of a semicolon file is a comma', () => {
    expect(parseUnitsCsv('serial;model;sequence;dealer\nCF1;M;1;North, East', plant).rows[0]?.dealer).toBe('North, East');
    expect(parse('CF1,M,,,,1,,,,more').problems.map(({ line, column }) => `${line} ${column}`)).toEqual(['2 ']);
    expect(parse(`CF1,M,,,${'x'.repeat(501)},1,,,`).problems.map(({ column }) => column)).toEqual(['dealer']);
  });

  it('says what is wrong with the header', () => {
    expect(parseUnitsCsv('serial,colour\nCF1,red', plant).problems.map(({ column }) => column)).toEqual(['model', 'sequence', 'colour']);
    expect(parseUnitsCsv('', plant).rows).toEqual([]);
  });

  it.each(['0x10', '1e3', 'Infinity', '1 000', '1.', ''])('takes %s for no number of a sequence', (sequence) => {
    expect(parse(`CF1,M,,,,${sequence},,,`).problems.map(({ column }) => column)).toEqual(['sequence']);
  });

  it('answers any text without throwing, each row good or named', () => {
    const cell = fc.oneof(fc.string(), fc.constantFrom('M', '1', 'CF1', '2026-11-30', '"', ';'));
    fc.assert(fc.property(fc.array(fc.array(cell, { maxLength: 10 }).map((cells) => cells.join(',')), { maxLength: 5 }), (lines) => {
      const { rows, problems } = parse(...lines);
      for (const row of rows) expect(problems.some(({ line }) => line === row.line)).toBe(false);
    }));
    fc.assert(fc.property(fc.string(), (text) => void parseUnitsCsv(text, plant)));
  });
});
