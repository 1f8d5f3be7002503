import type { Plant } from '../core/setup/plant.ts';
import type { LocalDate } from '../core/units.ts';
import { readCsv } from './read-csv.ts';
import type { ImportProblem } from './replies.ts';
import { localDate, name, reason } from './shapes.ts';

export const CLAIM_COLUMNS = ['claim', 'vin', 'date', 'what', 'zone', 'part', 'station'] as const;
type Column = (typeof CLAIM_COLUMNS)[number];
const WANTED: readonly Column[] = ['claim', 'vin', 'date', 'what'];

/** One claim of a dealer's file. */
export interface ClaimCsvRow {
  line: number;
  claim: string;
  vin: string;
  claimed: LocalDate;
  what: string;
  zone: string | null;
  part: string | null;
  station: string | null;
}

/** Claims from CSV with a header of `CLAIM_COLUMNS` in any order; zone, part and station are codes of the plant and may be empty. Good rows and problems apart. Never throws. */
export function parseClaimsCsv(text: string, plant: Plant): { rows: ClaimCsvRow[]; problems: ImportProblem[] } {
  const { header, records, problems: unreadable } = readCsv(text);
  if (unreadable.length > 0) return { rows: [], problems: unreadable };
  const missing = WANTED.filter((column) => !header.includes(column));
  if (missing.length > 0) return { rows: [], problems: missing.map((column) => ({ line: 1, column, message: 'this column is missing; the first line names the columns' })) };
  const rows: ClaimCsvRow[] = [];
  const problems: ImportProblem[] = [];
  for (const { line, cells, problems: unread } of records) {
    const cell = (column: Column): string => cells[header.indexOf(column)] ?? '';
    const wrong = [...problemsOf(cell, line, plant), ...unread];
    problems.push(...wrong);
    const code = (column: Column): string | null => cell(column) || null;
    if (wrong.length === 0) rows.push({ line, claim: cell('claim'), vin: cell('vin').toUpperCase(), claimed: cell('date'), what: cell('what'), zone: code('zone'), part: code('part'), station: code('station') });
  }
  return { rows, problems };
}

function problemsOf(cell: (column: Column) => string, line: number, plant: Plant): ImportProblem[] {
  const problems: ImportProblem[] = [];
  const wrong = (column: Column, message: string): void => void problems.push({ line, column, message });
  if (!name.safeParse(cell('claim')).success) wrong('claim', 'is no number of a claim');
  if (!name.safeParse(cell('vin')).success) wrong('vin', 'is missing');
  if (!localDate.safeParse(cell('date')).success) wrong('date', 'is no day such as 2026-11-25');
  if (!reason.safeParse(cell('what')).success) wrong('what', 'says nothing, or more than 500 characters');
  const codes: Record<'zone' | 'part' | 'station', readonly { code: string }[]> = { zone: plant.zones ?? [], part: plant.partKinds ?? [], station: plant.lines.flatMap(({ stations }) => stations) };
  for (const column of ['zone', 'part', 'station'] as const) if (cell(column) !== '' && !codes[column].some(({ code }) => code === cell(column))) wrong(column, `there is no ${column} ${cell(column)}`);
  return problems;
}
