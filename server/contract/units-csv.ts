import { instantOfLocal } from '../core/calendar/zone.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { Instant, LocalDate } from '../core/units.ts';
import { readCsv } from './read-csv.ts';
import type { ImportProblem } from './replies.ts';
import { instant, localDate, name, text as free } from './shapes.ts';

export const UNIT_COLUMNS = ['serial', 'model', 'options', 'order', 'dealer', 'sequence', 'planned_release', 'dealer_wish', 'promise'] as const;
type Column = (typeof UNIT_COLUMNS)[number];

/** One unit of production control's file; `line` is its line in the file, from 1. */
export interface UnitCsvRow {
  line: number;
  unit: string;
  model: string;
  options: string[];
  order: string;
  dealer: string;
  sequence: number;
  plannedRelease: Instant | null;
  wish: LocalDate | null;
  promise: LocalDate | null;
}

/**
 * Units from CSV: a header of `UNIT_COLUMNS` in any order, then a row a unit. Options are separated by + or |. Good rows and problems apart; a row with a
 * problem is not among the good ones. `columns`: those that the file has; of the others it says nothing. Never throws.
 */
export function parseUnitsCsv(text: string, plant: Plant): { rows: UnitCsvRow[]; problems: ImportProblem[]; columns: ReadonlySet<string> } {
  const { header, records, problems: unreadable } = readCsv(text);
  const columns = new Set(header);
  if (unreadable.length > 0) return { rows: [], problems: unreadable, columns };
  const missing = (['serial', 'model', 'sequence'] as const).filter((column) => !columns.has(column));
  const problems: ImportProblem[] = missing.map((column) => ({ line: 1, column, message: 'this column is missing; the first line names the columns' }));
  for (const title of header) if (!UNIT_COLUMNS.includes(title as Column)) problems.push({ line: 1, column: title, message: `there is no such column; the columns are ${UNIT_COLUMNS.join(', ')}` });
  if (missing.length > 0) return { rows: [], problems, columns };
  const rows: UnitCsvRow[] = [];
  const seen = new Map<string, number>();
  for (const { line, cells, problems: unread } of records) {
    const read = readRow((column) => cells[header.indexOf(column)] ?? '', line, plant);
    read.problems.push(...unread);
    const before = seen.get(read.row.unit);
    if (before !== undefined) read.problems.push({ line, column: 'serial', message: `${read.row.unit} stands on line ${before} already` });
    seen.set(read.row.unit, before ?? line);
    if (read.problems.length === 0) rows.push(read.row);
    problems.push(...read.problems);
  }
  return { rows, problems, columns };
}

function readRow(cell: (column: Column) => string, line: number, plant: Plant): { row: UnitCsvRow; problems: ImportProblem[] } {
  const problems: ImportProblem[] = [];
  const wrong = (column: Column, message: string): void => void problems.push({ line, column, message });
  const unit = cell('serial');
  if (!name.safeParse(unit).success) wrong('serial', 'a serial of 1 to 100 characters is needed');
  for (const column of ['order', 'dealer'] as const) if (!free.safeParse(cell(column)).success) wrong(column, 'at most 500 characters, no control characters');
  const model = cell('model');
  if (!plant.models.some(({ code }) => code === model)) wrong('model', `there is no model ${model || '(empty)'}; models are ${plant.models.map(({ code }) => code).join(', ')}`);
  const options = cell('options').split(/[+|]/).map((option) => option.trim()).filter((option) => option !== '');
  for (const option of options) if (!plant.options.some(({ code }) => code === option)) wrong('options', `there is no option ${option}`);
  const sequence = Number(cell('sequence'));
  if (!/^[+-]?\d+(\.\d+)?$/.test(cell('sequence')) || !Number.isFinite(sequence)) wrong('sequence', `${cell('sequence') || '(empty)'} is not a number`);
  const day = (column: 'dealer_wish' | 'promise'): LocalDate | null => {
    const value = cell(column);
    if (value !== '' && !localDate.safeParse(value).success) wrong(column, `${value} is not a day such as 2026-11-30`);
    return value === '' ? null : value;
  };
  const plannedRelease = releaseOf(cell('planned_release'), plant.timeZone);
  if (plannedRelease === undefined) wrong('planned_release', `${cell('planned_release')} is not a time such as 2026-11-30 06:45`);
  const row = { line, unit, model, options, order: cell('order'), dealer: cell('dealer'), sequence, plannedRelease: plannedRelease ?? null, wish: day('dealer_wish'), promise: day('promise') };
  return { row, problems };
}

/** A local time in the plant's zone or an ISO instant; null for an empty cell, undefined for anything else. */
function releaseOf(value: string, zone: string): Instant | null | undefined {
  if (value === '') return null;
  const [, date, time] = /^(\d{4}-\d{2}-\d{2})[ T](\d{2}:\d{2})$/.exec(value) ?? [];
  if (date && time) return localDate.safeParse(date).success && /^([01]\d|2[0-3]):[0-5]\d$/.test(time) ? instantOfLocal(zone, date, time) : undefined;
  const parsed = instant.safeParse(value);
  return parsed.success ? parsed.data : undefined;
}
