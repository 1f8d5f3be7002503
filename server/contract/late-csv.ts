// The same file is made by the server and, from what it shows, by the screen; this build of the library runs in both.
import { stringify } from 'csv-stringify/browser/esm/sync';
import { localOf } from '../core/calendar/zone.ts';
import type { Instant } from '../core/units.ts';
import type { LateUnit, LateUnits } from './late-report.ts';

const COLUMNS = [
  'serial', 'model', 'dealer', 'order', 'stage', 'days_in_stage', 'place', 'holds', 'stops', 'open_work', 'first_promise', 'promise', 'promise_moved_by',
  'ready', 'late', 'working_minutes_late', 'calendar_days_late', 'group',
];

/** The report as CSV, a row a unit in the report's order; instants as local time of the plant's zone. A cell that a spreadsheet would take for a formula is kept from being one. */
export function lateCsv(groups: readonly LateUnits[], zone: string): string {
  const rows = groups.flatMap(({ key, units }) => units.map((unit) => [...cells(unit, zone), key]));
  return stringify([COLUMNS, ...rows], { record_delimiter: 'windows', escape_formulas: true });
}

function cells(unit: LateUnit, zone: string): string[] {
  return [
    unit.unit, unit.model, unit.dealer, unit.order, unit.stage, daysText(unit.daysInStage), unit.place, unit.holds.join('; '), unit.stops.join('; '), unit.openWork.join('; '),
    unit.firstPromise ?? '', unit.promise, unit.promiseMovedBy, unit.ready === null ? '' : localText(zone, unit.ready), unit.late ? 'yes' : 'no',
    unit.minutesLate.toFixed(0), String(unit.calendarDaysLate),
  ];
}

/** Days with one decimal, '' where none are told. */
export function daysText(days: number | null): string {
  return days === null ? '' : days.toFixed(1);
}

/** Date and time of day in the plant's zone, as `2026-11-26 18:03`. */
export function localText(zone: string, t: Instant): string {
  const { date, time } = localOf(zone, t);
  return `${date} ${time}`;
}
