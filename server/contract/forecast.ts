import type { ClearBy } from '../core/forecast/clear-by.ts';
import type { LoadOutlook } from '../core/forecast/load-outlook.ts';
import type { UnitOutlook } from '../core/forecast/line-forecast.ts';
import type { Standing } from '../core/late.ts';
import type { Instant, Minutes } from '../core/units.ts';

/** What is forecast of a unit, and how it stands against its promise (definitions §6, §7). */
export interface ForecastRow extends UnitOutlook {
  line: string;
  /** Null without a promise. */
  standing: Standing | null;
  /** Working minutes of the line from the promise to the middle of the forecast; 0 when that is in time, null without a promise or an end. */
  minutesLate: Minutes | null;
}

/** `hold`: one that a person opened. `short`: something missing that is to be fitted. `offLine`: the unit is pulled off the line. */
export type KeepKind = 'hold' | 'short' | 'offLine';

/** By when what keeps a unit must be settled. */
export interface ClearByRow extends ClearBy {
  kind: KeepKind;
  /** The hold's reason, what is missing, why it was pulled off. */
  what: string;
}

/** Answer of GET /api/plants/:plant/forecast: every unit that is not shipped, worst first. */
export interface ForecastReply {
  /** When it was made, the number of the last fact known then, and when that fact was recorded. */
  made: Instant;
  version: number;
  factsAt: Instant | null;
  runs: number;
  /** Probability of missing the promise above which a unit is at risk, and with which one wants it made. */
  threshold: number;
  wanted: number;
  units: ForecastRow[];
  clearBy: ClearByRow[];
  /** When whole loads are ready. */
  loads: LoadOutlook[];
}

/** What is announced when a forecast was made: screens that show it fetch it. */
export interface ForecastTold {
  version: number;
  made: Instant;
}

/** Worst first: late before at risk, then by the probability of missing, then by the promise; without a promise last. */
export function compareWorst(a: ForecastRow, b: ForecastRow): number {
  return (b.missing ?? -1) - (a.missing ?? -1) || (b.minutesLate ?? 0) - (a.minutesLate ?? 0) || (a.promise ?? Infinity) - (b.promise ?? Infinity) || (a.unit < b.unit ? -1 : 1);
}
