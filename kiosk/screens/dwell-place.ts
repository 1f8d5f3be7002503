import type { DwellReply } from '../../server/contract/dwell.ts';
import type { DwellQuery, VisitsQuery } from '../../server/contract/dwell-query.ts';
import { visitsPage } from '../data/report-paths.ts';

/** What the parts of the dwell and delay screen share. */
export interface DwellPlace {
  plant: string;
  line: string;
  query: DwellQuery;
  told: DwellReply;
}

/** Where the visits behind a figure are listed: the period as it was told, the filter, and what the figure narrows it to. */
export function behind({ plant, line, query: { station, model, shift }, told: { period } }: DwellPlace, figure: Partial<VisitsQuery>): string {
  return visitsPage(plant, line, { period: 'days', from: period.first, to: period.last, of: 'counted', station, model, shift, week: '', kind: '', reason: '', ...figure });
}
