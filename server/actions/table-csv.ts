import { stringify } from 'csv-stringify/sync';
import { localOf } from '../core/calendar/zone.ts';
import { type Cell, checkTable, type ColumnType, headingOf, type Table } from '../core/tables/table.ts';

/**
 * What a spreadsheet may take for the beginning of a formula (OWASP, CSV injection): = + - @, tab, return, and their full-width forms, also
 * behind spaces.
 */
const STARTS_FORMULA = /^\s*[=+\-@\uff1d\uff0b\uff0d\uff20]|^[\t\r\n]/;

/**
 * The table as CSV (RFC 4180), one heading line. Minutes to two places; instants as local time, to the minute; null as an empty cell. Text that would run as
 * a formula begins with an apostrophe; numbers are numbers, negative ones too.
 */
export function tableCsv(table: Table): string {
  checkTable(table);
  const headings = table.columns.map((column) => defused(headingOf(column, table.timeZone)));
  const rows = table.rows.map((row) => row.map((cell, i) => textOf(cell, table.columns[i]!.type, table.timeZone)));
  return stringify([headings, ...rows], { record_delimiter: 'windows' });
}

function textOf(cell: Cell, type: ColumnType, timeZone: string): string {
  if (cell === null) return '';
  if (typeof cell === 'string') return type === 'text' ? defused(cell) : cell;
  if (type === 'minutes') return String(Number(cell.toFixed(2)));
  if (type === 'number') return String(cell);
  const { date, time } = localOf(timeZone, cell);
  return `${date} ${time}`;
}

function defused(text: string): string {
  return STARTS_FORMULA.test(text) ? `'${text}` : text;
}
