import type { UnitStage } from '../core/facts/unit-state.ts';
import type { Instant, LocalDate, Minutes } from '../core/units.ts';
import type { Standing } from '../core/late.ts';
import type { ClearByRow, ForecastReply, ForecastRow } from './forecast.ts';
import type { Snapshot, UnitRow } from './snapshot.ts';

/** One line of the late-unit report. `daysInStage` are days of 24 hours by the clock on the wall. */
export interface LateUnit {
  unit: string;
  model: string;
  dealer: string;
  order: string;
  stage: UnitStage;
  stageSince: Instant | null;
  daysInStage: number | null;
  place: string;
  /** The load it is to go with; '' for none. */
  load: string;
  /** Reasons of its open holds, and of the stops of the station it stands at. */
  holds: string[];
  stops: string[];
  /** What is missing on it. */
  openWork: string[];
  firstPromise: LocalDate | null;
  promise: LocalDate;
  promiseMovedBy: string;
  ready: Instant | null;
  late: boolean;
  minutesLate: Minutes;
  calendarDaysLate: number;
  /** What is forecast of it (definitions §6); null while nothing is. `late` and what follows are told at standard. */
  outlook: LateOutlook | null;
}

export interface LateOutlook extends Pick<ForecastRow, 'p10' | 'p50' | 'p80' | 'p90' | 'missing'> {
  standing: Standing;
  /** The end of the promised day. */
  due: Instant;
  /** Stations and stages on its critical path in at least half of the runs. */
  critical: string[];
  clearBy: ClearByRow[];
}

export const LATE_GROUPS = ['stage', 'shipDay', 'load', 'dealer', 'model', 'none'] as const;
export type LateGroup = (typeof LATE_GROUPS)[number];
export const LATE_SORTS = ['worst', 'promise', 'ready', 'age', 'dealer', 'unit'] as const;
export type LateSort = (typeof LATE_SORTS)[number];

/** What is asked of the report; '' as a filter fits all. */
export interface LateQuery {
  shipDay: string;
  dealer: string;
  model: string;
  /** Leaves out the units that are in time. */
  lateOnly: boolean;
  group: LateGroup;
  sort: LateSort;
}

/** Units in the order of the report; `key` is the stage, day, load, dealer or model they share, '' where nothing is grouped. */
export interface LateUnits {
  key: string;
  units: LateUnit[];
}

/** The way of a unit from the line to the truck; what has not begun comes last. */
const STAGES: UnitStage[] = ['onLine', 'offLine', 'inspection', 'yard', 'released', 'scheduled', 'shipped', 'cancelled'];

/**
 * Every unit promised and not shipped that fits the query, in groups (stages in the order of a unit's way, others by name) and within a group
 * in the order asked for; ties worst first, then by promise and serial. `at` is the instant that ages are told at. With a forecast, late are those that are late or
 * at risk (definitions §7), and the worst is the one that most probably misses its promise; without one, those that at standard will be late.
 */
export function lateReport(snapshot: Snapshot, query: LateQuery, at: Instant, forecast: ForecastReply | null = null): LateUnits[] {
  const outlooks = forecast === null ? null : outlooksOf(forecast);
  const fits = (wanted: string, value: string | null): boolean => wanted === '' || wanted === value;
  const units = promised(snapshot)
    .filter(({ state }) => fits(query.shipDay, state.promise) && fits(query.dealer, state.dealer) && fits(query.model, state.model))
    .map((row) => lateUnit(row, snapshot, at, outlooks?.get(row.state.unit) ?? null))
    .filter((unit) => isLate(unit) || !query.lateOnly)
    .sort((a, b) => compareBy(query.sort, a, b) || compareBy('worst', a, b) || compareText(a.promise, b.promise) || compareText(a.unit, b.unit));
  const groups = new Map<string, LateUnit[]>();
  for (const unit of units) {
    const key = keyOf(query.group, unit);
    groups.set(key, [...(groups.get(key) ?? []), unit]);
  }
  const place = (key: string): number => (query.group === 'stage' ? STAGES.indexOf(key as UnitStage) : 0);
  return [...groups].map(([key, own]) => ({ key, units: own })).sort((a, b) => place(a.key) - place(b.key) || compareText(a.key, b.key));
}

/** Units that the report could hold: those with a promise. */
export function promised(snapshot: Snapshot): UnitRow[] {
  return snapshot.units.filter(({ state, late }) => late !== null && state.known);
}

/** Late or at risk as forecast; at standard where nothing is. */
export function isLate({ outlook, late }: LateUnit): boolean {
  return outlook === null ? late : outlook.standing !== 'inTime';
}

function outlooksOf({ units, clearBy }: ForecastReply): Map<string, LateOutlook> {
  const holds = new Map<string, ClearByRow[]>();
  for (const row of clearBy) holds.set(row.unit, [...(holds.get(row.unit) ?? []), row]);
  return new Map(units.flatMap(({ unit, promise, standing, p10, p50, p80, p90, missing, critical }): [string, LateOutlook][] => (promise === null || standing === null ? []
    : [[unit, { p10, p50, p80, p90, missing, standing, due: promise, clearBy: holds.get(unit) ?? [], critical: critical.filter(({ share }) => share >= 0.5).map(({ code }) => code) }]])));
}

const STANDINGS: Standing[] = ['inTime', 'atRisk', 'late'];

function compareWorst(a: LateUnit, b: LateUnit): number {
  const standing = ({ outlook, late }: LateUnit): number => (outlook === null ? (late ? 2 : 0) : STANDINGS.indexOf(outlook.standing));
  return standing(b) - standing(a) || (b.outlook?.missing ?? 0) - (a.outlook?.missing ?? 0) || Number(b.late) - Number(a.late) || b.minutesLate - a.minutesLate;
}

function keyOf(group: LateGroup, unit: LateUnit): string {
  switch (group) {
    case 'stage': return unit.stage;
    case 'shipDay': return unit.promise;
    case 'load': return unit.load;
    case 'dealer': return unit.dealer;
    case 'model': return unit.model;
    case 'none': return '';
  }
}

function compareBy(sort: LateSort, a: LateUnit, b: LateUnit): number {
  switch (sort) {
    case 'worst': return compareWorst(a, b);
    case 'promise': return compareText(a.promise, b.promise);
    // What nobody can tell comes last.
    case 'ready': return (readyOf(a) ?? Number.MAX_VALUE) - (readyOf(b) ?? Number.MAX_VALUE);
    case 'age': return (b.daysInStage ?? -1) - (a.daysInStage ?? -1);
    case 'dealer': return compareText(a.dealer, b.dealer);
    case 'unit': return compareText(a.unit, b.unit);
  }
}

/** The middle of the forecast; at standard where nothing is forecast. */
export function readyOf({ outlook, ready }: LateUnit): Instant | null {
  return outlook === null ? ready : outlook.p50;
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function lateUnit({ state, late, projectedReady }: UnitRow, { stops }: Snapshot, at: Instant, outlook: LateOutlook | null): LateUnit {
  const station = state.place?.station;
  return {
    unit: state.unit, model: state.model ?? '', dealer: state.dealer, order: state.order, stage: state.stage, stageSince: state.stageSince,
    daysInStage: state.stageSince === null ? null : Math.max(0, at - state.stageSince) / 86_400_000, place: station ?? '', load: state.load ?? '',
    holds: state.holds.map((hold) => hold.reason), stops: stops.filter((stop) => stop.station === station).map((stop) => stop.reason),
    openWork: state.shorts.map((short) => short.what), firstPromise: state.firstPromise, promise: late!.promise,
    promiseMovedBy: state.promiseMoved?.who ?? '', ready: projectedReady, late: late!.late, minutesLate: late!.minutesLate, calendarDaysLate: late!.calendarDaysLate, outlook,
  };
}
