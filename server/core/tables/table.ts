import { invariant } from '../invariant.ts';

/**
 * What a column holds: `text` strings; `number` and `minutes` finite numbers; `instant` epoch milliseconds, shown on the plant's wall clock;
 * `date` a day of the plant's calendar, `2026-11-25`. A cell of any may be null: nothing to tell, which is not 0 and not ''.
 */
export type ColumnType = 'text' | 'number' | 'minutes' | 'instant' | 'date';

export interface Column {
  name: string;
  type: ColumnType;
}

export type Cell = string | number | null;

/** A report as rows and columns, before it is written in any format. */
export interface Table {
  title: string;
  /** IANA zone on whose clock instants are shown. */
  timeZone: string;
  columns: Column[];
  rows: Cell[][];
}

/** Stops where a row does not fit the columns: a programmer's fault. */
export function checkTable({ columns, rows }: Table): void {
  for (const row of rows) {
    invariant(row.length === columns.length, `a row has ${row.length} cells for ${columns.length} columns`);
    row.forEach((cell, i) => invariant(cell === null || fits(cell, columns[i]!.type), `${JSON.stringify(cell)} is no ${columns[i]!.type} for column ${columns[i]!.name}`));
  }
}

function fits(cell: string | number, type: ColumnType): boolean {
  if (type === 'text') return typeof cell === 'string';
  if (type === 'date') return typeof cell === 'string' && /^\d{4}-\d{2}-\d{2}$/.test(cell);
  return typeof cell === 'number' && Number.isFinite(cell) && (type !== 'instant' || Number.isInteger(cell));
}

/** A column's heading; of instants with the zone they are shown in. */
export function headingOf({ name, type }: Column, timeZone: string): string {
  return type === 'instant' ? `${name} (${timeZone})` : name;
}
