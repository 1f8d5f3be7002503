import type { Line } from '../setup/plant.ts';
import type { UnitHistory } from '../timeline/line-history.ts';
import type { LineStay } from '../timeline/occupancy.ts';
import type { Instant } from '../units.ts';
import type { Period, PeriodVisit, WorkingMs } from './period-visits.ts';

/** One coming of a unit to a station, or its exit from the line (`station` -1), on the plan, as built, or both. */
export interface Step {
  unit: number;
  /** Index of the station on the line; -1 the exit. */
  station: number;
  visit: PeriodVisit | null;
  /** When it really came, or passed a station it did not come to; Infinity when it had not by the end of the period. */
  came: Instant;
  /** On the plan at the beginning of the period. */
  planned: boolean;
  /** On what was really built, and is still to be done at the end of the period. */
  built: boolean;
  /** The unit stands there at the beginning of the period. */
  standing: boolean;
  /** Standard of a station that it has not come to. */
  standard: WorkingMs;
}

/** A stretch in which a unit stood at no station of the line. */
export interface Gap {
  unit: number;
  /** Steps of the unit from this one on come after it. */
  before: number;
  kind: 'pulledOff' | 'rollLag';
  from: Instant;
  /** Null while it lasts. */
  to: Instant | null;
  /** The stay that ended when it began. */
  left: LineStay;
}

export interface PlanUnit {
  of: UnitHistory;
  /** All its stays on the line as known at the end of the period. */
  stays: LineStay[];
  length: number;
  /** Numbers of its steps, the exit last. */
  steps: number[];
  gaps: Gap[];
  /** Its first arrival, when that lies in the period. */
  released: Instant | null;
  /** Not on the line at the end of the period, and not past its end. */
  offLine: boolean;
  /** Its place in the order of coming from the end of the period on. */
  order: number;
  /** Working milliseconds from the beginning of the period to its planned release; null when it has none. */
  plannedRelease: WorkingMs | null;
  /** Left the line for good before its end: the rest of its route is not built. */
  withdrawn: boolean;
  /** When it had left the line's end before the period began, for one that came again; else null. */
  exitBefore: WorkingMs | null;
}

/** Everything a period's plan and what deviated from it are told from. */
export interface Plan {
  line: Line;
  period: Period;
  units: PlanUnit[];
  steps: Step[];
  /** Units in the order of release: those released in the period, then, on a line that rolls together, those to come. */
  releases: number[];
  /** When the last unit released before the period came, in working milliseconds from its beginning (at most 0). */
  releasedBefore: WorkingMs | null;
  /** Release of the last unit that had left the line's end before the period; -Infinity when there is none. */
  pastRelease: Instant;
  /** Working milliseconds from the beginning of the period to its end. */
  end: WorkingMs;
  pace: WorkingMs;
  /** Working milliseconds from the beginning of the period to `t`. */
  after(t: Instant): WorkingMs;
}
