// The same file is made by the server and, from what it shows, by the screen; this build of the library runs in both.
import { stringify } from 'csv-stringify/browser/esm/sync';
import { localOf } from '../core/calendar/zone.ts';
import type { Instant } from '../core/units.ts';
import type { LateOutlook, LateUnit, LateUnits } from './late-report.ts';

const COLUMNS = [
  'serial', 'model', 'dealer', 'order', 'stage', 'days_in_stage', 'place', 'holds', 'stops', 'open_work', 'first_promise', 'promise', 'promise_moved_by',
  'ready', 'late', 'working_minutes_late', 'calendar_days_late', 'standing', 'probability_late', 'ready_10', 'ready_50', 'ready_80', 'ready_90', 'clear_by', 'critical', 'group', 'load',
];

/** The report as CSV, a row a unit in the report's order; instants as local time of the plant's zone. A cell that a spreadsheet would take for a formula is kept from being one. */
export function lateCsv(groups: readonly LateUnits[], zone: string): string {
  const rows = groups.flatMap(({ key, units }) => units.map((unit) => [...cells(unit, zone), key, unit.load]));
  return stringify([COLUMNS, ...rows], { record_delimiter: 'windows', escape_formulas: true });
}

function cells(unit: LateUnit, zone: string): string[] {
  return [
    unit.unit, unit.model, unit.dealer, unit.order, unit.stage, daysText(unit.daysInStage), unit.place, unit.holds.join('; '), unit.stops.join('; '), unit.openWork.join('; '),
    unit.firstPromise ?? '', unit.promise, unit.promiseMovedBy, unit.ready === null ? '' : localText(zone, unit.ready), unit.late ? 'yes' : 'no',
    unit.minutesLate.toFixed(0), String(unit.calendarDaysLate), ...outlookCells(unit.outlook, zone),
  ];
}

function outlookCells(outlook: LateOutlook | null, zone: string): string[] {
  if (outlook === null) return Array.from({ length: 8 }, () => '');
  const time = (t: Instant | null): string => (t === null ? '' : localText(zone, t));
  const { standing, missing, p10, p50, p80, p90, critical } = outlook;
  return [standing, missing === null ? '' : missing.toFixed(3), time(p10), time(p50), time(p80), time(p90), clearByText(outlook, zone), critical.join('; ')];
}

/** What keeps the unit, each with the latest instant at which it can be settled; `too late` where even now is. */
export function clearByText({ clearBy }: LateOutlook, zone: string): string {
  return clearBy.map(({ what, latest }) => `${what}: ${latest === null ? 'too late' : localText(zone, latest)}`).join('; ');
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
