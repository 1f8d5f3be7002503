import type { Cell, Column, ColumnType, Table } from '../core/tables/table.ts';
import type { Named, ShiftSummaryReply, ToldShift } from './shift-summary.ts';

/** The tables of a shift summary that can be had as a file. */
export const SUMMARY_TABLES = ['counts', 'causes', 'open', 'actions'] as const;
export type SummaryTable = (typeof SUMMARY_TABLES)[number];

const column = (type: ColumnType, ...names: string[]): Column[] => names.map((name) => ({ name, type }));

/** One table of the summary, without rows where the shift is not told. Titles and headings are English, as in every file. */
export function summaryTable({ told, plant: { timeZone }, date, shift }: ShiftSummaryReply, which: SummaryTable): Table {
  const head = `${date} ${shift?.name ?? ''}`.trim();
  const table = TABLES[which];
  return { title: `${table.title} ${head}`, timeZone, columns: table.columns, rows: told ? table.rows(told) : [] };
}

interface TableForm {
  title: string;
  columns: Column[];
  rows(told: ToldShift): Cell[][];
}

const TABLES: Record<SummaryTable, TableForm> = {
  counts: {
    title: 'Counts',
    columns: [
      ...column('text', 'count_point'), ...column('number', 'shift_counted', 'shift_planned', 'shift_planned_by_now', 'shift_counted_assumed', 'day_counted', 'day_planned', 'day_planned_by_now'),
      ...column('number', 'month_counted', 'month_planned', 'month_planned_by_now', 'remaining_days', 'needed_per_day'), ...column('minutes', 'needed_pace'),
    ],
    rows: ({ counts }) => counts.map(({ name, shift, day, month }) => [
      name, shift.counted, shift.planned, shift.plannedByNow, shift.assumed, day.counted, day.planned, day.plannedByNow,
      month.counted, month.planned, month.plannedByNow, month.remainingDays, month.neededPerDay, month.neededPace,
    ]),
  },
  causes: {
    title: 'Causes of line delay',
    columns: [...column('text', 'kind', 'reason', 'station', 'station_name', 'units'), ...column('number', 'times'), ...column('minutes', 'line_delay', 'local'), ...column('number', 'share', 'cumulative_share')],
    rows: ({ delay }) => delay.causes.map(({ kind, reason, station, units, times, amount, localMinutes, share, cumulative }) =>
      [kind, reason, ...namedCells(station), units.join(' '), times, amount, localMinutes, share, cumulative]),
  },
  open: {
    title: 'Open',
    columns: [...column('text', 'what', 'serial', 'reason', 'station', 'station_name', 'owner'), ...column('instant', 'since'), ...column('minutes', 'age'), ...column('instant', 'expected')],
    rows: ({ offLine, shorts, holds, stops }) => [
      ...offLine.map(({ unit, reason, place, since, age }): Cell[] => ['off line', unit, reason, ...namedCells(place), '', since, age, null]),
      ...shorts.map(({ unit, what, owner, fitAt, since, age, expected }): Cell[] => ['short', unit, what, ...namedCells(fitAt), owner, since, age, expected]),
      ...holds.map(({ unit, reason, place, since, age }): Cell[] => ['hold', unit, reason, ...namedCells(place), '', since, age, null]),
      ...stops.map(({ station, reason, since, age }): Cell[] => ['stop', '', reason, ...namedCells(station), '', since, age, null]),
    ],
  },
  actions: {
    title: 'Actions',
    columns: [...column('text', 'action', 'owner'), ...column('instant', 'due'), ...column('text', 'overdue', 'stated_by'), ...column('instant', 'opened', 'closed'), ...column('text', 'closed_by', 'note')],
    rows: ({ carried, closed }) => [...carried, ...closed].map(({ what, owner, due, overdue, who, opened, closed: done }) =>
      [what, owner, due, overdue ? 'yes' : 'no', who, opened, done?.at ?? null, done?.who ?? '', done?.note ?? '']),
  },
};

function namedCells(place: Named | null): [string, string] {
  return [place?.code ?? '', place?.name ?? ''];
}
