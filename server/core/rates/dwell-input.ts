import { workingTimeOf, type WorkingTime } from '../calendar/working-time.ts';
import { isoWeekOf, type IsoWeek } from '../calendar/iso-week.ts';
import { type Charge, chargedMinutes } from '../delay/charged-minutes.ts';
import { lineDelayByShift, type ShiftDelay } from '../delay/line-delay-by-shift.ts';
import { historyBetween } from '../timeline/history-between.ts';
import type { LineHistory } from '../timeline/line-history.ts';
import { missedStations } from '../timeline/missed-stations.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Instant } from '../units.ts';
import { type LineConstraint, lineConstraints } from './line-constraint.ts';
import type { ReportPeriod } from './report-period.ts';
import { type VisitRecord, visitRecords } from './visit-records.ts';

/** What narrows a report down; '' for everything. */
export interface DwellFilter {
  station: string;
  model: string;
  shift: string;
}

/** What the dwell and delay of a line over a period are told from. */
export interface DwellInput {
  /** Reaches three days back before the period: the plan at its beginning needs the release before it. */
  history: LineHistory;
  /** Visits of the line that reach into the period: those that ended, and those still open at `at`. */
  visits: Visit[];
  at: Instant;
  period: ReportPeriod;
  filter: DwellFilter;
}

/** What the plan at the period's beginning needs of the time before. */
export const BEFORE_MS = 3 * 86_400_000;
const WEEK_MS = 7 * 86_400_000;

const fits = (wanted: string, value: string): boolean => wanted === '' || wanted === value;

/** The visits that reach into the period and fit the filter; `begun` those of them that began in it, with the stations that were missed. */
export function recordsOf({ history, visits, at, period: { begins, ends }, filter }: DwellInput): { reaching: VisitRecord[]; begun: VisitRecord[] } {
  const times = new Map<string, WorkingTime>();
  const timeOf = (station: string): WorkingTime => {
    const time = times.get(station) ?? workingTimeOf(history.setups, { line: history.line, station }, history.floorTime);
    times.set(station, time);
    return time;
  };
  const fit = ({ visit, model, shift }: VisitRecord): boolean => fits(filter.station, visit.station) && fits(filter.model, model) && fits(filter.shift, shift);
  const reaching = visitRecords(history, visits, 0, ends).filter(fit);
  const missed = visitRecords(history, missedStations(history, at, timeOf), begins, ends).filter(fit);
  return { reaching, begun: [...reaching.filter(({ key }) => key.arrived! >= begins), ...missed] };
}

/** Line delay of every shift that began in the period, told week by week from what each needs. */
export function shiftDelays({ history, period: { begins, ends } }: DwellInput): ShiftDelay[] {
  const shifts: ShiftDelay[] = [];
  const time = workingTimeOf(history.setups, { line: history.line, station: null }, history.floorTime);
  for (let from = begins; from < ends;) {
    // A shift is told to the beginning of the next: a week ends where one begins.
    const next = time.shiftsBetween(from + WEEK_MS, ends)[0]?.start ?? ends;
    shifts.push(...lineDelayByShift(historyBetween(history, from - BEFORE_MS, next), from, next));
    from = next;
  }
  return shifts;
}

/** What the causes in the period cost the line, as far as they fit the filter. */
export function chargesOf({ history, filter }: DwellInput, shifts: readonly ShiftDelay[]): Charge[] {
  return chargedMinutes(history, shifts).filter(({ station, model, shift }) => fits(filter.station, station) && fits(filter.model, model) && fits(filter.shift, shift));
}

/** What each station lost without a unit and blocked in one shift, and the constraint of it. */
export interface ShiftConstraint extends LineConstraint {
  shift: string;
  date: string;
  week: IsoWeek;
}

/** The constraint of the line in every shift that began in the period. */
export function shiftConstraints({ history, visits, at, period: { begins, ends } }: DwellInput): ShiftConstraint[] {
  const time = workingTimeOf(history.setups, { line: history.line, station: null }, history.floorTime);
  const shifts = time.shiftsBetween(begins, ends);
  return shifts.flatMap(({ name, date, start }, i) => {
    const to = Math.min(at, shifts[i + 1]?.start ?? ends);
    const own = visits.filter((visit) => visit.arrived! < to && (visit.left ?? to) >= start);
    return lineConstraints(historyBetween(history, start, to), own, at, [{ from: start, to }]).map((constraint) => ({ ...constraint, shift: name, date, week: isoWeekOf(date) }));
  });
}
