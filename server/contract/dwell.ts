import type { DwellReport } from '../core/rates/dwell-report.ts';
import type { ScanHabit, ScanMark } from '../core/rates/scan-habits.ts';
import type { VisitBehind } from '../core/rates/visits-behind.ts';
import type { ReportPeriod } from '../core/rates/report-period.ts';
import type { Instant } from '../core/units.ts';

/** What every report of a line says about itself. */
export interface ReportOf {
  at: Instant;
  line: string;
  timeZone: string;
  period: ReportPeriod;
}

/** Dwell and delay: GET /api/plants/:plant/lines/:line/dwell. */
export interface DwellReply extends ReportOf, DwellReport {}

/** The visits behind a figure, in order of arrival: GET …/dwell/visits. */
export interface VisitsReply extends ReportOf {
  /** How many there are; `visits` holds the first `MOST_VISITS` of them, the files all. */
  count: number;
  visits: VisitBehind[];
}

export const MOST_VISITS = 1_000;

/** Scan habits by station and shift, without the marks: GET …/scans. */
export interface ScansReply extends ReportOf {
  habits: Omit<ScanHabit, 'facts'>[];
}

/** The marks behind them, in order of station, shift and time: GET …/scans/marks. */
export interface MarksReply extends ReportOf {
  /** How many there are; `marks` holds the first `MOST_VISITS` of them, the files all. */
  count: number;
  marks: ScanMark[];
}
