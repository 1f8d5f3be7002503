import type { IsoWeek } from '../calendar/iso-week.ts';
import type { VisitMinuteState } from '../timeline/visit.ts';
import { type Distribution, distributionOf } from './quantiles.ts';
import type { VisitKey, VisitRecord } from './visit-records.ts';

/** What a report may tell apart; what it does not is null in its rows. */
export type Dimension = 'station' | 'model' | 'shift' | 'week';

export const VISIT_STATES: readonly VisitMinuteState[] = ['held', 'blocked', 'rollLag', 'stopped', 'work'];

/** One line of the dwell and delay report. Minutes are working minutes (definitions §3, §4); percentiles are of type 7 (§9). */
export interface DwellRow {
  station: string | null;
  model: string | null;
  /** '' for arrivals outside every shift. */
  shift: string | null;
  week: IsoWeek | null;
  /** Visits that left and were scanned: those the figures of this row are of. */
  visits: number;
  /** Of `visits`, those whose finish was assumed, so that how they split into work and waiting is the program's reading. */
  finishAssumed: number;
  /** Not scanned; in no figure of this row. */
  missed: number;
  /** Still open; in no figure of this row. With any of them the row is provisional. */
  provisional: number;
  dwell: Distribution | null;
  /** The same visits by what their minutes were. Sums and means add up to those of `dwell`; percentiles do not. */
  states: Record<VisitMinuteState, Distribution | null>;
  /** Sums and means over `visits`; null where there are none. */
  stationDelay: Distribution | null;
  recovered: Distribution | null;
  /** The visits behind the figures, and those left out of them. */
  keys: VisitKey[];
  missedKeys: VisitKey[];
  provisionalKeys: VisitKey[];
}

/** The records told apart by the dimensions of `by`, in the order in which the first of each came; none of them: one row for all. */
export function dwellRows(records: readonly VisitRecord[], by: readonly Dimension[]): DwellRow[] {
  return groupBy(records, by).map((group) => dwellRow(group, by));
}

/** The records that agree in every dimension of `by`, together. */
export function groupBy(records: readonly VisitRecord[], by: readonly Dimension[]): VisitRecord[][] {
  const groups = new Map<string, VisitRecord[]>();
  for (const record of records) {
    const key = JSON.stringify(by.map((dimension) => valueOf(record, dimension)));
    const group = groups.get(key);
    if (group) group.push(record);
    else groups.set(key, [record]);
  }
  return [...groups.values()];
}

function valueOf(record: VisitRecord, dimension: Dimension): string {
  return dimension === 'station' ? record.visit.station : record[dimension];
}

function dwellRow(group: readonly VisitRecord[], by: readonly Dimension[]): DwellRow {
  const told = (dimension: Dimension): string | null => (by.includes(dimension) ? valueOf(group[0]!, dimension) : null);
  const standing = (wanted: VisitRecord['standing']): VisitRecord[] => group.filter((record) => record.standing === wanted);
  const [counted, missed, provisional] = [standing('counted'), standing('notScanned'), standing('provisional')];
  const visits = counted.map(({ visit }) => visit);
  const keys = (records: readonly VisitRecord[]): VisitKey[] => records.map(({ key }) => key);
  const state = (name: VisitMinuteState): Distribution | null => distributionOf(visits.map(({ minutes }) => minutes[name]));
  return {
    station: told('station'), model: told('model'), shift: told('shift'), week: told('week'),
    visits: visits.length, finishAssumed: visits.filter((visit) => visit.finishAssumed).length, missed: missed.length, provisional: provisional.length,
    dwell: distributionOf(visits.map(({ dwell }) => dwell)),
    states: { held: state('held'), blocked: state('blocked'), rollLag: state('rollLag'), stopped: state('stopped'), work: state('work') },
    stationDelay: distributionOf(visits.map(({ stationDelay }) => stationDelay)), recovered: distributionOf(visits.map(({ recovered }) => recovered)),
    keys: keys(counted), missedKeys: keys(missed), provisionalKeys: keys(provisional),
  };
}
