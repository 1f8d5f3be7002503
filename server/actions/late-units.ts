import { stringify } from 'csv-stringify/sync';
import { localOf } from '../core/calendar/zone.ts';
import type { UnitStage } from '../core/facts/unit-state.ts';
import type { Instant, LocalDate, Minutes } from '../core/units.ts';
import type { Snapshot, UnitRow } from '../contract/snapshot.ts';

/** One line of the late-unit report. `daysInStage` are days of 24 hours by the clock on the wall. */
export interface LateUnit {
  unit: string;
  model: string;
  dealer: string;
  order: string;
  stage: UnitStage;
  place: string;
  daysInStage: number | null;
  holds: string[];
  firstPromise: LocalDate | null;
  promise: LocalDate;
  promiseMovedBy: string;
  ready: Instant | null;
  late: boolean;
  minutesLate: Minutes;
  calendarDaysLate: number;
}

export interface LateFilter {
  shipDay: string;
  dealer: string;
  model: string;
  /** Leaves out the units that are in time. */
  lateOnly: boolean;
}

/** Every unit promised and not shipped that fits the filter ('' fits all), worst first, ties by promise and serial. */
export function lateUnits(snapshot: Snapshot, filter: LateFilter): LateUnit[] {
  const fits = (wanted: string, value: string | null): boolean => wanted === '' || wanted === value;
  return snapshot.units
    .filter(({ state, late }) => late !== null && state.known && (late.late || !filter.lateOnly))
    .filter(({ state }) => fits(filter.shipDay, state.promise) && fits(filter.dealer, state.dealer) && fits(filter.model, state.model))
    .map((row) => lateUnit(row, snapshot.at))
    .sort((a, b) => Number(b.late) - Number(a.late) || b.minutesLate - a.minutesLate || compareText(a.promise, b.promise) || compareText(a.unit, b.unit));
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function lateUnit({ state, late, projectedReady }: UnitRow, at: Instant): LateUnit {
  return {
    unit: state.unit, model: state.model ?? '', dealer: state.dealer, order: state.order, stage: state.stage, place: state.place?.station ?? '',
    daysInStage: state.stageSince === null ? null : (at - state.stageSince) / 86_400_000, holds: state.holds.map((hold) => hold.reason),
    firstPromise: state.firstPromise, promise: late!.promise, promiseMovedBy: state.promiseMoved?.who ?? '', ready: projectedReady,
    late: late!.late, minutesLate: late!.minutesLate, calendarDaysLate: late!.calendarDaysLate,
  };
}

const COLUMNS = [
  'serial', 'model', 'dealer', 'order', 'stage', 'place', 'days_in_stage', 'holds', 'first_promise', 'promise', 'promise_moved_by', 'ready', 'late',
  'working_minutes_late', 'calendar_days_late',
];

/** The report as CSV; instants as local time of the plant's zone. A cell that a spreadsheet would take for a formula is kept from being one. */
export function lateUnitsCsv(units: readonly LateUnit[], zone: string): string {
  const rows = units.map((unit) => [
    unit.unit, unit.model, unit.dealer, unit.order, unit.stage, unit.place, unit.daysInStage === null ? '' : unit.daysInStage.toFixed(1), unit.holds.join('; '),
    unit.firstPromise ?? '', unit.promise, unit.promiseMovedBy, unit.ready === null ? '' : localText(zone, unit.ready), unit.late ? 'yes' : 'no',
    unit.minutesLate.toFixed(0), String(unit.calendarDaysLate),
  ]);
  return stringify([COLUMNS, ...rows], { record_delimiter: 'windows', escape_formulas: true });
}

function localText(zone: string, t: Instant): string {
  const { date, time } = localOf(zone, t);
  return `${date} ${time}`;
}
