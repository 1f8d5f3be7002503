import { workingTimeOf } from '../calendar/working-time.ts';
import type { LineHistory } from '../timeline/line-history.ts';
import type { Instant, LocalDate, Minutes } from '../units.ts';
import { lineDelay, type LineDelay } from './line-delay.ts';

export interface ShiftDelay {
  /** The day the shift began on, to which it belongs. */
  date: LocalDate;
  shift: string;
  delay: LineDelay;
}

export interface DelaySums {
  totalMinutes: Minutes;
  lostMinutes: Minutes;
  inPipeMinutes: Minutes;
  unitMinutesLate: Minutes;
}

/**
 * Line delay of each shift of the line that begins in [from, to), each measured against the plan from its own beginning. A shift is told
 * to the beginning of the next one, or to `to`: no working minute lies between them, and what is scanned after hours belongs to the
 * shift that worked it.
 */
export function lineDelayByShift(history: LineHistory, from: Instant, to: Instant): ShiftDelay[] {
  const time = workingTimeOf(history.setups, { line: history.line, station: null }, history.floorTime.filter((said) => said.happened <= to));
  const shifts = time.shiftsBetween(from, to);
  return shifts.map(({ date, name, start }, i) => ({ date, shift: name, delay: lineDelay(history, start, shifts[i + 1]?.start ?? to) }));
}

/** A day is the sum of its shifts, a week the sum of its days (definitions §5). */
export function sumOfShifts(shifts: readonly ShiftDelay[]): DelaySums {
  const sums: DelaySums = { totalMinutes: 0, lostMinutes: 0, inPipeMinutes: 0, unitMinutesLate: 0 };
  for (const { delay } of shifts) {
    sums.totalMinutes += delay.totalMinutes;
    sums.lostMinutes += delay.lostMinutes;
    sums.inPipeMinutes += delay.inPipeMinutes;
    sums.unitMinutesLate += delay.unitMinutesLate;
  }
  return sums;
}

/** The sums of each day, in order. */
export function sumsByDay(shifts: readonly ShiftDelay[]): (DelaySums & { date: LocalDate })[] {
  const days = [...new Set(shifts.map(({ date }) => date))].sort();
  return days.map((date) => ({ date, ...sumOfShifts(shifts.filter((shift) => shift.date === date)) }));
}
