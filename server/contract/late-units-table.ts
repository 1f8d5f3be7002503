import type { Cell, Column, Table } from '../core/tables/table.ts';
import { clearByText } from './late-csv.ts';
import type { LateUnit, LateUnits } from './late-report.ts';

const COLUMNS: Column[] = [
  ...['group', 'serial', 'model', 'dealer', 'order', 'stage', 'place', 'holds', 'stops', 'open_work'].map((name): Column => ({ name, type: 'text' })),
  { name: 'first_promise', type: 'date' }, { name: 'promise', type: 'date' }, { name: 'promise_moved_by', type: 'text' }, { name: 'standing', type: 'text' },
  { name: 'probability_late', type: 'number' }, ...['ready_10', 'ready_50', 'ready_80', 'ready_90'].map((name): Column => ({ name, type: 'instant' })),
  { name: 'clear_by', type: 'text' }, { name: 'critical', type: 'text' }, { name: 'ready_at_standard', type: 'instant' },
  { name: 'working_minutes_late_at_standard', type: 'minutes' }, { name: 'calendar_days_late_at_standard', type: 'number' }, { name: 'load', type: 'text' },
];

/** The late-unit report as a table, a row a unit in the report's order, for a workbook. */
export function lateUnitsTable(groups: readonly LateUnits[], zone: string): Table {
  return { title: 'Late units', timeZone: zone, columns: COLUMNS, rows: groups.flatMap(({ key, units }) => units.map((unit) => [key, ...cells(unit, zone)])) };
}

function cells(unit: LateUnit, zone: string): Cell[] {
  const { outlook } = unit;
  return [
    unit.unit, unit.model, unit.dealer, unit.order, unit.stage, unit.place, unit.holds.join('; '), unit.stops.join('; '), unit.openWork.join('; '),
    unit.firstPromise, unit.promise, unit.promiseMovedBy, outlook?.standing ?? null, outlook?.missing ?? null, outlook?.p10 ?? null, outlook?.p50 ?? null,
    outlook?.p80 ?? null, outlook?.p90 ?? null, outlook === null ? null : clearByText(outlook, zone), outlook === null ? null : outlook.critical.join('; '),
    unit.ready, Number.isFinite(unit.minutesLate) ? unit.minutesLate : null, Number.isFinite(unit.calendarDaysLate) ? unit.calendarDaysLate : null, unit.load,
  ];
}
