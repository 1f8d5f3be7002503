import type { ForecastScores } from '../core/forecast/scored-forecasts.ts';
import type { Instant } from '../core/units.ts';

/** Answer of GET /api/plants/:plant/trust: kept forecasts of each main line held against what happened (definitions §6). */
export interface TrustReply {
  from: Instant;
  to: Instant;
  lines: {
    line: string;
    /** Forecasts that are kept of the period. */
    kept: number;
    /** All together first, then by days ahead; none where no unit of theirs is ready yet. */
    scores: ForecastScores[];
  }[];
}
