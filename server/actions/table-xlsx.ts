import writeXlsxFile, { type SheetData } from 'write-excel-file/node';
import { localOf } from '../core/calendar/zone.ts';
import { type Cell, checkTable, type Column, headingOf, type Table } from '../core/tables/table.ts';

/** A sheet holds 1,048,576 rows, one of them the headings. */
const MOST_ROWS = 1_048_575;
const LONGEST_TEXT = 32_767;

type XlsxCell = SheetData[number][number];

/**
 * The table as an Excel workbook of one sheet: numbers, dates and instants are such, to be sorted and reckoned with, text is never a formula.
 * A sheet knows no zone: an instant stands as the plant's wall clock shows it, to the minute. Throws RangeError on more rows than a sheet holds.
 */
export async function tableXlsx(table: Table): Promise<Buffer> {
  checkTable(table);
  if (table.rows.length > MOST_ROWS) throw new RangeError(`a sheet holds ${MOST_ROWS} rows, not ${table.rows.length}: ask for a shorter period`);
  const headings = table.columns.map((column): XlsxCell => ({ value: kept(headingOf(column, table.timeZone)), type: String, fontWeight: 'bold' }));
  const rows = table.rows.map((row) => row.map((cell, i) => cellOf(cell, table.columns[i]!, table.timeZone)));
  const columns = table.columns.map((column) => ({ width: Math.max(12, headingOf(column, table.timeZone).length + 2) }));
  return writeXlsxFile([headings, ...rows], { sheet: sheetName(table.title), columns, stickyRowsCount: 1 }).toBuffer();
}

function cellOf(cell: Cell, { type }: Column, timeZone: string): XlsxCell {
  if (cell === null) return null;
  if (type === 'date') return { value: new Date(`${cell}T00:00:00Z`), type: Date, format: 'yyyy-mm-dd' };
  if (typeof cell === 'string') return { value: kept(cell), type: String };
  if (type === 'instant') {
    const { date, time } = localOf(timeZone, cell);
    return { value: new Date(`${date}T${time}:00Z`), type: Date, format: 'yyyy-mm-dd hh:mm' };
  }
  return type === 'minutes' ? { value: cell, type: Number, format: '0.0' } : { value: cell, type: Number };
}

/** A cell holds so much text and no more; what XML does not know the library leaves out. */
function kept(text: string): string {
  const cut = text.length <= LONGEST_TEXT ? text : `${text.slice(0, LONGEST_TEXT - 1)}…`;
  // write-excel-file 4.1.1 keeps its texts as keys of a plain object and loses one that every object has, such as "constructor".
  return cut in {} ? `${cut} ` : cut;
}

/** A sheet's name has 1 to 31 characters, none of [ ] : * ? / \ and no apostrophe at an end. */
function sheetName(title: string): string {
  const name = kept(title).replace(/[[\]:*?/\\]/g, ' ').slice(0, 31).trim().replace(/^'+|'+$/g, '').trim();
  return name === '' ? 'Table' : name;
}
