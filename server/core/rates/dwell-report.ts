import { type IsoWeek, isoWeekOf } from '../calendar/iso-week.ts';
import type { Charge } from '../delay/charged-minutes.ts';
import { type DelaySums, sumOfShifts } from '../delay/line-delay-by-shift.ts';
import { findLine, setupAt } from '../setup/setup-at.ts';
import type { LocalDate, Minutes } from '../units.ts';
import { type DelayCause, delayCauses } from './delay-causes.ts';
import { type Dimension, type DwellRow, dwellRows } from './dwell-and-delay.ts';
import { chargesOf, type DwellInput, recordsOf, type ShiftConstraint, shiftConstraints, shiftDelays } from './dwell-input.ts';
import { type DwellTrend, dwellTrend, type TrendMeasure, type TrendWeek } from './dwell-trend.ts';
import { joinedConstraint, type LineConstraint } from './line-constraint.ts';
import type { ParetoRow } from './pareto.ts';
import type { ReportPeriod } from './report-period.ts';

export const DWELL_SORTS = ['order', 'stationDelay', 'lineDelay', 'dwell', 'blocked', 'starved', 'visits'] as const;
export type DwellSort = (typeof DWELL_SORTS)[number];

/** What a row says beside its visits. */
export interface BesideVisits {
  /** Line minutes charged to it (definitions §5); negative ones were recovered. */
  lineMinutes: Minutes;
  /** Of the mean place, in the shifts of the period; null in a row of one model, for a free place has none. */
  starved: Minutes | null;
  idle: Minutes | null;
}

/** A row without the visits behind it: whoever asks for those names the row. */
export type DelayRow = Omit<DwellRow, 'keys' | 'missedKeys' | 'provisionalKeys'> & BesideVisits;

/** The constraint of the line in one week, or of one day where the period has no two weeks. */
export interface ConstraintStep extends LineConstraint {
  week: IsoWeek;
  /** Null for a week. */
  date: LocalDate | null;
}

export interface DwellReport {
  period: ReportPeriod;
  rows: DelayRow[];
  /** All of what the filter lets through. */
  whole: DelayRow;
  causes: (Omit<ParetoRow<DelayCause>, 'keys'> & { visits: number })[];
  trend: Omit<DwellTrend, 'weeks'> & { weeks: Omit<TrendWeek, 'keys'>[] };
  /** Line delay of the shifts of the period, whatever the filter. */
  lineDelay: DelaySums;
  /** Over the whole period; null where no shift began. Of the whole line, whatever the filter. */
  constraint: LineConstraint | null;
  constraintSteps: ConstraintStep[];
}

export interface DwellQuestion extends DwellInput {
  by: Dimension[];
  sort: DwellSort;
  measure: TrendMeasure;
}

/** Dwell and delay of a line over a period (definitions §3 to §5, §9), told apart by `by`. */
export function dwellReport(question: DwellQuestion): DwellReport {
  const { history, period, by, sort, measure } = question;
  const { begun } = recordsOf(question);
  const shifts = shiftDelays(question);
  const charges = chargesOf(question, shifts);
  const constraints = shiftConstraints(question);
  const beside = (row: DwellRow): DelayRow => withBeside(row, charges, constraints, question);
  const known = dwellRows(begun, by);
  const rows = [...known, ...rowsOfChargesAlone(known, charges, by)].map(beside);
  const [whole = emptyRow(null, [])] = dwellRows(begun, []);
  const { weeks, chart } = dwellTrend(begun, measure);
  return {
    period, rows: sorted(rows, sort, stationsOf(question)), whole: beside(whole),
    causes: delayCauses(history, begun).map(({ keys, ...cause }) => ({ ...cause, visits: keys.length })),
    trend: { chart, weeks: weeks.map(({ keys: _, ...week }) => week) },
    lineDelay: sumOfShifts(shifts), constraint: joinedConstraint(constraints), constraintSteps: steps(constraints),
  };
}

function withBeside(row: DwellRow, charges: readonly Charge[], constraints: readonly ShiftConstraint[], { by, filter }: DwellQuestion): DelayRow {
  const { keys: _, missedKeys: _missed, provisionalKeys: _provisional, ...told } = row;
  const own = charges.filter((charge) => by.every((dimension) => row[dimension] === null || charge[dimension] === row[dimension]));
  const station = row.station ?? filter.station;
  const shift = row.shift ?? filter.shift;
  const loads = constraints.filter((one) => (shift === '' || one.shift === shift) && (row.week === null || one.week === row.week))
    .flatMap((one) => one.loads).filter((load) => station === '' || load.station === station);
  const ofPlaces = filter.model === '' && row.model === null && (row.station !== '' || !by.includes('station')) && (row.shift !== '' || !by.includes('shift'));
  const sum = (value: (load: (typeof loads)[number]) => number): Minutes | null => (ofPlaces ? loads.reduce((total, load) => total + value(load), 0) : null);
  return { ...told, lineMinutes: own.reduce((total, { minutes }) => total + minutes, 0), starved: sum((load) => load.starved), idle: sum((load) => load.idle) };
}

/** Rows for what the line was charged where no visit began: a station that lost minutes to a visit of before, a cause of no one station. */
function rowsOfChargesAlone(known: readonly DwellRow[], charges: readonly Charge[], by: readonly Dimension[]): DwellRow[] {
  const keyOf = (of: Record<Dimension, string | null>): string => JSON.stringify(by.map((dimension) => of[dimension]));
  const seen = new Set(known.map(keyOf));
  const rows: DwellRow[] = [];
  for (const charge of charges) {
    if (seen.has(keyOf(charge)) || Math.abs(charge.minutes) < 1e-9) continue;
    seen.add(keyOf(charge));
    rows.push(emptyRow(charge, by));
  }
  return rows;
}

function emptyRow(of: Charge | null, by: readonly Dimension[]): DwellRow {
  const told = (dimension: Dimension): string | null => (of && by.includes(dimension) ? of[dimension] : null);
  return {
    station: told('station'), model: told('model'), shift: told('shift'), week: told('week'), visits: 0, finishAssumed: 0, missed: 0, provisional: 0, dwell: null,
    states: { held: null, blocked: null, rollLag: null, stopped: null, work: null }, stationDelay: null, recovered: null, keys: [], missedKeys: [], provisionalKeys: [],
  };
}

function stationsOf({ history, period: { ends } }: DwellInput): string[] {
  const plant = setupAt(history.setups, ends)?.plant;
  return (plant && findLine(plant, history.line)?.stations.map(({ code }) => code)) ?? [];
}

/** In the order of the line, then by name; else the largest first, and then in that order. */
function sorted(rows: readonly DelayRow[], sort: DwellSort, stations: readonly string[]): DelayRow[] {
  const place = ({ station }: DelayRow): number => (station === null ? 0 : stations.includes(station) ? stations.indexOf(station) : stations.length + (station === '' ? 1 : 0));
  const text = ({ model, shift, week }: DelayRow): string => JSON.stringify([model, shift, week]);
  return rows.toSorted((a, b) => measureOf(b, sort) - measureOf(a, sort) || place(a) - place(b) || (text(a) < text(b) ? -1 : 1));
}

function measureOf(row: DelayRow, sort: DwellSort): number {
  switch (sort) {
    case 'order': return 0;
    case 'stationDelay': return row.stationDelay?.sum ?? -1;
    case 'lineDelay': return row.lineMinutes;
    case 'dwell': return row.dwell?.p50 ?? -1;
    case 'blocked': return row.states.blocked?.sum ?? -1;
    case 'starved': return row.starved ?? -1;
    case 'visits': return row.visits;
  }
}

function steps(constraints: readonly ShiftConstraint[]): ConstraintStep[] {
  const byWeek = new Set(constraints.map(({ week }) => week)).size > 1;
  const groups = new Map<string, ShiftConstraint[]>();
  for (const one of constraints) {
    const key = byWeek ? one.week : one.date;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()].map((own) => ({ ...joinedConstraint(own)!, week: isoWeekOf(own[0]!.date), date: byWeek ? null : own[0]!.date }));
}
