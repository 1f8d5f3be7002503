import { parse } from 'csv-parse/sync';
import type { ImportProblem } from './replies.ts';

/** One record of a file: the line on which it begins, from 1, and what keeps it from being read as it stands. */
export interface CsvRecord {
  line: number;
  cells: string[];
  problems: ImportProblem[];
}

/**
 * The records of a CSV file after its first line, which names the columns: comma, semicolon or tab, any line end, a byte order mark or none. A quote within a cell that does not
 * begin with one is a quote. `problems` is not empty when no record of the file can be trusted; there are none then. Never throws.
 */
export function readCsv(text: string): { header: string[]; records: CsvRecord[]; problems: ImportProblem[] } {
  const none = (...problems: ImportProblem[]) => ({ header: [], records: [], problems });
  const lines = text.replaceAll(/\r\n?/g, '\n');
  if ((lines.split('\n', 1)[0] ?? '').includes('\0')) return none({ line: 1, column: '', message: 'is not UTF-8 text: save the file as CSV UTF-8' });
  let read: { record: string[]; info: { lines: number } }[];
  let whole = 0;
  const onRecord = (record: string[], { lines: end }: { lines: number }): string[] => {
    whole = end;
    return record;
  };
  try {
    const lenient = { relax_column_count: true, relax_quotes: true, skip_empty_lines: true, trim: true };
    read = parse(lines, { ...lenient, bom: true, delimiter: delimiterOf(lines), info: true, on_record: onRecord }) as unknown as typeof read;
  } catch (error) {
    // The parser names the end of the file; what was opened and not closed stands in the record after the last whole one.
    const unclosed = (error as { code?: string }).code === 'CSV_QUOTE_NOT_CLOSED';
    const why = unclosed ? 'a quote is opened here, or a little further on, and not closed' : (error as Error).message;
    return none({ line: unclosed ? whole + 1 : ((error as { lines?: number }).lines ?? 1), column: '', message: `cannot be read as CSV: ${why}` });
  }
  const header = read[0]?.record.map((title) => title.toLowerCase().replaceAll(' ', '_')) ?? [];
  const twice = header.filter((title, i) => title !== '' && header.indexOf(title) < i);
  if (twice.length > 0) return none(...[...new Set(twice)].map((column) => ({ line: 1, column, message: 'stands twice in the first line' })));
  return { header, records: read.slice(1).map(({ record, info }) => recordOf(record, info.lines, header)), problems: [] };
}

/** `lastLine`: what the parser says, the line on which the record ends. */
function recordOf(cells: string[], lastLine: number, header: readonly string[]): CsvRecord {
  const line = lastLine - cells.reduce((breaks, cell) => breaks + cell.split('\n').length - 1, 0);
  const problems: ImportProblem[] = [];
  // What is no UTF-8 was replaced when the bytes were decoded.
  cells.forEach((cell, i) => {
    if (cell.includes('\ufffd')) problems.push({ line, column: header[i] ?? '', message: 'holds a character that cannot be read: save the file as CSV UTF-8' });
  });
  if (cells.length > header.length) problems.push({ line, column: '', message: `has ${cells.length} cells, the first line names ${header.length} columns` });
  return { line, cells, problems };
}

/** The separator of the file: of comma, semicolon and tab the one that its first line holds most of. */
function delimiterOf(lines: string): string {
  const first = lines.split('\n', 1)[0] ?? '';
  const count = (separator: string): number => first.split(separator).length;
  return [';', '\t'].reduce((best, separator) => (count(separator) > count(best) ? separator : best), ',');
}
