import type { HoldInterval, LineHistory, Stay } from '../timeline/line-history.ts';
import type { Instant, LocalDate } from '../units.ts';
import type { RecentVisit } from './draws-from-history.ts';
import type { LoadOfUnits } from './load-outlook.ts';

/** A unit that left the line's end: one still in the plant, or of the latest that are gone, to learn from. */
export interface AfterLineUnit {
  unit: string;
  model: string;
  options: string[];
  /** When it left the line's end. */
  exit: Instant;
  /** Its stays on inspection lines, in order of arrival. */
  stays: Stay[];
  released: Instant | null;
  /** Shipped or cancelled. */
  gone: Instant | null;
}

/** Something that was missing when a unit left a station. */
export interface ShortItem {
  unit: string;
  id: string;
  what: string;
  opened: Instant;
  fitted: Instant | null;
}

/** All that the forecast of a main line is told from, as it is known at `at`; plain values, to be handed to another thread. */
export interface ForecastMaterial {
  at: Instant;
  /** The line, with the units on it and still to come. */
  history: LineHistory;
  /** The latest visits that ended at each station of this line and of inspection lines. */
  visits: RecentVisit[];
  afterLine: AfterLineUnit[];
  /** Holds of units that are gone from the line. */
  pastHolds: HoldInterval[];
  /** How long units were pulled off the line lately. */
  pastOffLine: { from: Instant; to: Instant }[];
  shorts: ShortItem[];
  promises: { unit: string; promise: LocalDate }[];
  /** Loads with the units that have not been picked up. */
  loads: LoadOfUnits[];
}
