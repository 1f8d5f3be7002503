import type { ScanMarkKind } from '../core/rates/scan-habits.ts';
import { written } from './dwell-query.ts';
import { type PeriodQuery, readPeriod, type Said, writePeriod } from './period-query.ts';

export const MARK_KINDS: readonly ScanMarkKind[] = ['notScanned', 'finishAssumed', 'bunched', 'told', 'recordedLate'];

/** Which marks of scans are asked for; '' as a filter fits all. */
export interface MarksQuery extends PeriodQuery {
  station: string;
  /** '-' for scans outside every shift. */
  shift: string;
  kind: ScanMarkKind | '';
}

export function readMarksQuery(said: Said): { query: MarksQuery; wrong: string[] } {
  const wrong: string[] = [];
  const kind = MARK_KINDS.find((one) => one === said['kind']) ?? '';
  if (kind === '' && (said['kind'] ?? '') !== '') wrong.push('kind');
  return { query: { ...readPeriod(said, wrong), station: said['station'] ?? '', shift: said['shift'] ?? '', kind }, wrong };
}

export function writeMarksQuery({ station, shift, kind, ...period }: MarksQuery): string {
  return written({ ...writePeriod(period), station, shift, kind });
}
