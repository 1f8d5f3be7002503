import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseClaimsCsv } from '../../server/contract/claims-csv.ts';
import { readCsv } from '../../server/contract/read-csv.ts';
import { aLine, aPlant, aStation } from '../support/given.ts';

describe('readCsv', () => {
  it.each(['\n', '\r\n', '\r'])('says on which line a record begins, also after cells of several lines, with line ends %j', (end) => {
    const { records } = readCsv(['a,b', '', '1,2', '3,"two', 'lines"', '4,5', ''].join(end));
    expect(records.map(({ line, cells }) => [line, ...cells])).toEqual([[3, '1', '2'], [4, '3', 'two\nlines'], [6, '4', '5']]);
  });

  it('keeps a quote within a cell, and says where one was opened and not closed', () => {
    expect(readCsv('a,b\n1,Dealer "North" 24"\n2,3').records.map(({ cells }) => cells)).toEqual([['1', 'Dealer "North" 24"'], ['2', '3']]);
    expect(readCsv('a,b\n1,2\n3,"4\n5,6')).toMatchObject({ records: [], problems: [{ line: 3 }] });
  });

  it('names a character that is no UTF-8, by line and column', () => {
    const bytes = Buffer.concat([Buffer.from('a,b\n1,Camping Nu'), Buffer.from([0xf1]), Buffer.from('o\n2,Nuño')]);
    expect(readCsv(bytes.toString('utf8')).records.map(({ problems }) => problems.map(({ line, column }) => `${line} ${column}`))).toEqual([['2 b'], []]);
    expect(readCsv(Buffer.from('\ufeffa,b\n1,2', 'utf16le').toString('utf8'))).toMatchObject({ records: [], problems: [{ line: 1, column: '' }] });
  });

  it('refuses a first line that names a column twice: which of the two is meant nobody knows', () => {
    expect(readCsv('Serial,model, serial \nCF1,M,CF2')).toMatchObject({ records: [], problems: [{ line: 1, column: 'serial' }] });
  });

  it('splits claims as it does units: a semicolon in a cell of a file with commas is a semicolon', () => {
    const { rows, problems } = parseClaimsCsv('claim,vin,date,what\nC1,V1,2026-06-01,door rubs; latch bent', aPlant(aLine([aStation('A')]), { A: 10 }));
    expect([rows.map(({ what }) => what), problems]).toEqual([['door rubs; latch bent'], []]);
  });

  it('gives back what was written, each record on its line', () => {
    const cell = fc.stringMatching(/^[a-zA-Z0-9";,\n]{1,6}$/);
    fc.assert(fc.property(fc.array(fc.array(cell, { minLength: 3, maxLength: 3 }), { maxLength: 8 }), fc.constantFrom('\n', '\r\n'), (written, end) => {
      let line = 2;
      const expected = written.map((cells) => {
        const at = line;
        line += 1 + cells.join('').split('\n').length - 1;
        return { line: at, cells };
      });
      const text = written.map((cells) => cells.map((value) => `"${value.replaceAll('"', '""')}"`).join(','));
      const { records } = readCsv(['a,b,c', ...text].join('\n').replaceAll('\n', end));
      expect(records.map(({ line: at, cells }) => ({ line: at, cells }))).toEqual(expected);
    }));
  });
});
