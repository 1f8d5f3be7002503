import type { VisitMinuteState } from '../timeline/visit.ts';
import type { Cell, Column, ColumnType, Table } from '../tables/table.ts';
import type { CountAgainstPlan } from './count-plan.ts';
import type { DelayCause } from './delay-causes.ts';
import { type DwellRow, VISIT_STATES } from './dwell-and-delay.ts';
import type { BesideVisits } from './dwell-report.ts';
import type { ParetoRow } from './pareto.ts';
import type { Distribution } from './quantiles.ts';
import type { ScanHabit } from './scan-habits.ts';
import type { VisitRecord } from './visit-records.ts';
import type { VisitBehind } from './visits-behind.ts';

const FIGURES: readonly (keyof Omit<Distribution, 'count' | 'sum'>)[] = ['mean', 'min', 'p10', 'p25', 'p50', 'p75', 'p90', 'max'];
const STATE_NAMES: Record<VisitMinuteState, string> = { held: 'held', blocked: 'blocked', rollLag: 'roll_lag', stopped: 'stopped', work: 'work' };

const column = (type: ColumnType, ...names: string[]): Column[] => names.map((name) => ({ name, type }));

type TableRow = Omit<DwellRow, 'keys' | 'missedKeys' | 'provisionalKeys'> & Partial<BesideVisits>;

/** The dwell and delay report, one line for each row; states by their means, which add up to the dwell's. */
export function dwellTable(rows: readonly TableRow[], timeZone: string): Table {
  const columns = [
    ...column('text', 'station', 'model', 'shift', 'week'), ...column('number', 'visits', 'not_scanned', 'provisional', 'finish_assumed'),
    ...column('minutes', ...FIGURES.map((figure) => `dwell_${figure}`), ...VISIT_STATES.map((state) => `${STATE_NAMES[state]}_mean`)),
    ...column('minutes', 'station_delay_sum', 'station_delay_mean', 'recovered_sum', 'recovered_mean', 'line_delay', 'blocked_sum', 'starved', 'idle'),
  ];
  return {
    title: 'Dwell and delay', timeZone, columns,
    rows: rows.map((row): Cell[] => [
      row.station, row.model, row.shift, row.week, row.visits, row.missed, row.provisional, row.finishAssumed,
      ...FIGURES.map((figure) => row.dwell?.[figure] ?? null), ...VISIT_STATES.map((state) => row.states[state]?.mean ?? null),
      row.stationDelay?.sum ?? null, row.stationDelay?.mean ?? null, row.recovered?.sum ?? null, row.recovered?.mean ?? null,
      row.lineMinutes ?? null, row.states.blocked?.sum ?? null, row.starved ?? null, row.idle ?? null,
    ]),
  };
}

/** The visits behind a report, one a line; minutes of one that was not scanned are nothing to tell, not 0. */
export function visitsTable(records: readonly VisitRecord[], timeZone: string): Table {
  const columns = [
    ...column('text', 'serial', 'model', 'station', 'shift'), ...column('date', 'date'), ...column('text', 'week', 'standing'),
    ...column('instant', 'arrived', 'finished', 'left'), ...column('text', 'finish_assumed'), ...column('minutes', 'standard', 'dwell', ...VISIT_STATES.map((state) => STATE_NAMES[state]), 'station_delay', 'recovered'),
    ...column('text', 'arrived_by'),
  ];
  return {
    title: 'Visits', timeZone, columns,
    rows: records.map(({ visit, key, standing, model, shift, date, week }): Cell[] => {
      const minutes = [visit.standard, visit.dwell, ...VISIT_STATES.map((state) => visit.minutes[state]), visit.stationDelay, visit.recovered];
      return [
        visit.unit, model, visit.station, shift, date, week, standing, visit.arrived, visit.finished, visit.left, visit.finishAssumed ? 'yes' : 'no',
        ...minutes.map((own) => (visit.notScanned ? null : own)), key.arrivedBy,
      ];
    }),
  };
}

/** The visits behind one figure, with what each cost the line and what held or stopped it. */
export function visitsBehindTable(visits: readonly VisitBehind[], timeZone: string): Table {
  const { columns, rows, ...table } = visitsTable(visits, timeZone);
  const reasons = (visit: VisitBehind): string => visit.reasons.map(({ kind, reason, minutes }) => `${kind} ${reason} ${minutes.toFixed(1)}`).join('; ');
  return {
    ...table, columns: [...columns, ...column('minutes', 'line_delay'), ...column('text', 'causes')],
    rows: visits.map((visit, i): Cell[] => [...rows[i]!, visit.lineMinutes, reasons(visit)]),
  };
}

/** What the station delay came from, largest first. Shares are from 0 to 1. */
export function delayCausesTable(causes: readonly (Omit<ParetoRow<DelayCause>, 'keys'> & { visits: number })[], timeZone: string): Table {
  return {
    title: 'Causes of station delay', timeZone,
    columns: [...column('text', 'kind', 'reason'), ...column('minutes', 'station_delay'), ...column('number', 'share', 'cumulative_share', 'visits')],
    rows: causes.map(({ kind, reason, amount, share, cumulative, visits }) => [kind, reason, amount, share, cumulative, visits]),
  };
}

/** Units counted at one point, day by day, against the plan. */
export function countTable(told: CountAgainstPlan, title: string, timeZone: string): Table {
  return {
    title, timeZone, columns: [...column('date', 'date'), ...column('number', 'counted', 'planned', 'planned_by_now', 'counted_assumed')],
    rows: told.days.map(({ date, counted, planned, plannedByNow, passages }) => [date, counted, planned, plannedByNow, passages.filter(({ assumed }) => assumed).length]),
  };
}

/** How far the scans of each station and shift can be trusted. */
export function scanHabitsTable(habits: readonly ScanHabit[], timeZone: string): Table {
  return {
    title: 'Scan habits', timeZone,
    columns: [...column('text', 'station', 'shift'), ...column('number', 'scans', 'good', 'good_share', 'not_scanned', 'finish_assumed', 'bunched', 'told', 'recorded_late')],
    rows: habits.map(({ station, shift, scans, good, goodShare, marks }) =>
      [station, shift, scans, good, goodShare, marks.notScanned, marks.finishAssumed, marks.bunched, marks.told, marks.recordedLate]),
  };
}

/** The scans behind the habits, one a line. */
export function scanMarksTable(habits: readonly ScanHabit[], timeZone: string): Table {
  return {
    title: 'Marked scans', timeZone,
    columns: [...column('text', 'station', 'shift'), ...column('date', 'date'), ...column('text', 'kind', 'serial'), ...column('instant', 'happened'), ...column('text', 'fact')],
    rows: habits.flatMap(({ facts }) => facts.map(({ station, shift, date, kind, unit, at, fact }): Cell[] => [station, shift, date, kind, unit, at, fact])),
  };
}
