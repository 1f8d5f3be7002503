import { lineDelay, type LineDelay } from '../core/delay/line-delay.ts';
import { lineDelayByShift, type ShiftDelay } from '../core/delay/line-delay-by-shift.ts';
import type { LineHistory } from '../core/timeline/line-history.ts';
import type { Instant } from '../core/units.ts';

export { comparedPlansOf, forecastScoresOf, lineForecastOf, waysBackOf } from './forecast-jobs.ts';

/*
 * Arithmetic that takes longer than a screen may wait for another one: run in a thread of its own by `workers.ts`, which knows each of these
 * by its name. What goes in and out is copied between the threads: plain values only.
 */

export interface Period {
  history: LineHistory;
  from: Instant;
  to: Instant;
}

export function lineDelayOf({ history, from, to }: Period): LineDelay {
  return lineDelay(history, from, to);
}

export function lineDelayOfShifts({ history, from, to }: Period): ShiftDelay[] {
  return lineDelayByShift(history, from, to);
}
