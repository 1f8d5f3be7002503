import type { IsoWeek } from '../calendar/iso-week.ts';
import type { Minutes } from '../units.ts';
import { type IndividualsChart, individualsChart } from './control-limits.ts';
import { groupBy } from './dwell-and-delay.ts';
import type { VisitKey, VisitRecord } from './visit-records.ts';

export type TrendMeasure = 'dwell' | 'stationDelay';

export interface TrendWeek {
  week: IsoWeek;
  visits: number;
  /** Mean of the week's visits. */
  mean: Minutes;
  keys: VisitKey[];
}

export interface DwellTrend {
  weeks: TrendWeek[];
  /** Individuals and moving range over the means, point i being week i; null below two weeks. */
  chart: IndividualsChart | null;
}

/**
 * The mean of a measure for each week with counted visits, with control limits. A week without a visit has no point, and the moving
 * range goes from the one before it to the one after.
 */
export function dwellTrend(records: readonly VisitRecord[], measure: TrendMeasure): DwellTrend {
  const weeks = groupBy(records.filter(({ standing }) => standing === 'counted'), ['week']).map((group) => ({
    week: group[0]!.week, visits: group.length, mean: group.reduce((sum, { visit }) => sum + visit[measure], 0) / group.length, keys: group.map(({ key }) => key),
  }));
  weeks.sort((a, b) => (a.week < b.week ? -1 : 1));
  return { weeks, chart: individualsChart(weeks.map(({ mean }) => mean)) };
}
