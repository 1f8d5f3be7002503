import type { DelayCauseKind } from '../core/rates/delay-causes.ts';
import type { Dimension } from '../core/rates/dwell-and-delay.ts';
import { DWELL_SORTS, type DwellSort } from '../core/rates/dwell-report.ts';
import type { TrendMeasure } from '../core/rates/dwell-trend.ts';
import { BEHIND, type Behind } from '../core/rates/visits-behind.ts';
import { type PeriodQuery, readPeriod, type Said, writePeriod } from './period-query.ts';

/** What the report is told apart by. */
export const DWELL_BY = ['station', 'model', 'shift', 'week', 'station,model', 'station,shift', 'station,week', 'model,week'] as const;
export type DwellBy = (typeof DWELL_BY)[number];
export const TREND_MEASURES: readonly TrendMeasure[] = ['dwell', 'stationDelay'];

/** What is asked of dwell and delay; '' as a filter fits all. */
export interface DwellQuery extends PeriodQuery {
  by: DwellBy;
  sort: DwellSort;
  measure: TrendMeasure;
  station: string;
  model: string;
  shift: string;
}

/** The visits behind a figure of it. */
export interface VisitsQuery extends PeriodQuery {
  of: Behind;
  station: string;
  model: string;
  shift: string;
  week: string;
  /** Kind and reason of the cause, with `of=cause` only. */
  kind: DelayCauseKind | '';
  reason: string;
}

const KINDS: readonly (DelayCauseKind | '')[] = ['', 'hold', 'stop', 'overStandard', 'rollLag'];

export const dimensionsOf = (by: DwellBy): Dimension[] => by.split(',') as Dimension[];

/** The report that an address or request asks for. `wrong` names what is there with a value that it does not know; the default stands in its place. */
export function readDwellQuery(said: Said): { query: DwellQuery; wrong: string[] } {
  const wrong: string[] = [];
  const query = {
    ...readPeriod(said, wrong), by: oneOf(said, 'by', DWELL_BY, 'station', wrong), sort: oneOf(said, 'sort', DWELL_SORTS, 'order', wrong),
    measure: oneOf(said, 'measure', TREND_MEASURES, 'dwell', wrong), ...filterIn(said),
  };
  return { query, wrong };
}

/** What to write after the `?` of an address so that `readDwellQuery` reads `query` from it; what is as by default is left out. */
export function writeDwellQuery({ by, sort, measure, station, model, shift, ...period }: DwellQuery): string {
  return written({ ...writePeriod(period), by: by === 'station' ? '' : by, sort: sort === 'order' ? '' : sort, measure: measure === 'dwell' ? '' : measure, station, model, shift });
}

export function readVisitsQuery(said: Said): { query: VisitsQuery; wrong: string[] } {
  const wrong: string[] = [];
  const query = {
    ...readPeriod(said, wrong), of: oneOf(said, 'of', BEHIND, 'counted', wrong), ...filterIn(said), week: said['week'] ?? '',
    kind: oneOf(said, 'kind', KINDS, '', wrong), reason: said['reason'] ?? '',
  };
  if (query.of === 'cause' && query.kind === '') wrong.push('kind');
  return { query, wrong };
}

export function writeVisitsQuery({ of, station, model, shift, week, kind, reason, ...period }: VisitsQuery): string {
  return written({ ...writePeriod(period), of: of === 'counted' ? '' : of, station, model, shift, week, kind, reason });
}

function filterIn(said: Said): { station: string; model: string; shift: string } {
  return { station: said['station'] ?? '', model: said['model'] ?? '', shift: said['shift'] ?? '' };
}

function oneOf<T extends string>(said: Said, key: string, known: readonly T[], otherwise: T, wrong: string[]): T {
  const value = said[key];
  const found = known.find((one) => one === value);
  if (found === undefined && value !== undefined && value !== '') wrong.push(key);
  return found ?? otherwise;
}

export function written(said: Record<string, string>): string {
  return new URLSearchParams(Object.entries(said).filter(([, value]) => value !== '')).toString();
}
