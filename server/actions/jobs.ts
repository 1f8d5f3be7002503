import { constants, setPriority } from 'node:os';
import { isMainThread } from 'node:worker_threads';
import { lineDelay, type LineDelay } from '../core/delay/line-delay.ts';
import { lineDelayByShift, type ShiftDelay } from '../core/delay/line-delay-by-shift.ts';
import { type CountInput, shiftCounts, type ShiftCount } from '../core/rates/shift-counts.ts';
import type { Recorded } from '../core/facts/fact.ts';
import { type DwellQuestion, type DwellReport, dwellReport } from '../core/rates/dwell-report.ts';
import { type ScanHabit, scanHabits } from '../core/rates/scan-habits.ts';
import { type BehindQuestion, type VisitBehind, visitsBehind } from '../core/rates/visits-behind.ts';
import { recordsOf, type DwellInput } from '../core/rates/dwell-input.ts';
import type { LineHistory } from '../core/timeline/line-history.ts';
import type { Instant } from '../core/units.ts';

export { claimsOfCsv, unitsOfCsv } from './import-jobs.ts';
export { endedVisitsOf } from './minutes-jobs.ts';
export { comparedPlansOf, forecastScoresOf, lineForecastOf, waysBackOf } from './forecast-jobs.ts';

/*
 * Arithmetic that takes longer than a screen may wait for another one: run in a thread of its own by `workers.ts`, which knows each of these
 * by its name. What goes in and out is copied between the threads: plain values only.
 */

// On a machine with all its cores busy a scan comes first. Where only whole programs have a priority (all but Linux) it would be the scans' too.
if (!isMainThread && process.platform === 'linux') setPriority(0, constants.priority.PRIORITY_BELOW_NORMAL);

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

export function countsOfShift(input: CountInput): ShiftCount[] {
  return shiftCounts(input);
}

export function dwellReportOf(question: DwellQuestion): DwellReport {
  return dwellReport(question);
}

export function visitsBehindOf(question: BehindQuestion): VisitBehind[] {
  return visitsBehind(question);
}

export function scanHabitsOf(input: DwellInput & { facts: Recorded[] }): ScanHabit[] {
  const { begun } = recordsOf(input);
  return scanHabits(input.facts, input.history, begun.map(({ visit }) => visit), input.period.begins, input.period.ends);
}
