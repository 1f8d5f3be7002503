import type { KeepsFrom } from '../facts/fact.ts';
import type { RollKind } from '../setup/plant.ts';
import type { Instant, Minutes } from '../units.ts';
import type { CalendarTable } from './calendar-table.ts';
import type { DrawTable } from './draw-table.ts';

/** Something that may happen during a visit, and how many minutes it takes each time. */
export interface Chance {
  /** Probability per visit; for stops, the mean number per hour of work. */
  rate: number;
  minutes: DrawTable;
}

/** What is drawn at one station (definitions §6). */
export interface StationDraws {
  /** Work divided by standard. */
  ratios: DrawTable;
  holds: Chance;
  stops: Chance;
  /** Leaving short; `minutes` is the mending at the stage that mends. */
  shorts: Chance;
}

export interface ForecastStation {
  code: string;
  /** Places for units; null where nothing limits them. */
  capacity: number | null;
  /** Metres of floor for units, or null where `capacity` counts. */
  placeLength: number | null;
  unitsMayPass: boolean;
  /** Its own calendar, or null: it works by its line's. */
  calendar: CalendarTable | null;
  draws: StationDraws;
}

/** What units pass after the line's end: touch-up, re-test, queue for inspection, release, pick-up. Units come to it in the order in which they are ready. */
export interface ForecastStage {
  code: string;
  /** How many units it works on at a time; null where nothing limits them. */
  capacity: number | null;
  calendar: CalendarTable;
  /** Probability that a unit needs it. */
  probability: number;
  /** Working minutes of its calendar that it takes a unit that needs it. */
  minutes: DrawTable;
  /** What was left short is mended here: its minutes come on top. */
  mends: boolean;
  /** A unit that has passed it is ready to ship. Of several the last one counts; stages after it are pick-up. */
  ready: boolean;
}

/** What a stage is to one unit, where that is not what the stage says. */
export interface UnitStage {
  probability: number;
  /** What the stage's minutes are multiplied by: a standard where they are ratios. */
  scale: number;
}

export interface OpenHold {
  id: string;
  keepsFrom: KeepsFrom;
  /** Code of the named station when `keepsFrom` is `station`, else null. */
  fromStation: string | null;
  /** Working minutes of the line that are left of it. */
  left: DrawTable;
}

export interface ForecastUnit {
  unit: string;
  /** Metres over everything, for places measured by length. */
  length: number;
  route: { station: string; standard: Minutes }[];
  /** Index on its route of the last station it came to; -1 before its release. */
  reached: number;
  /** It stands at that station; else it is on its way to the next one, or off the line. */
  here: boolean;
  /** Work so far where it stands; null when it is finished there. */
  worked: Minutes | null;
  /** Working minutes of the line from now to its planned release; null: one pace after the release before. */
  plannedRelease: Minutes | null;
  holds: OpenHold[];
  /** Working minutes of mending of each open short item. */
  openShorts: DrawTable[];
  /** Where it is after the line's end; null while it is on the line or still to come. `standing`: the stage works on it and has for `worked` minutes. */
  stage: { code: string; standing: boolean; worked: Minutes } | null;
  /** By code of the stage; a stage that is not named is to this unit what it says itself. */
  ofStages?: Readonly<Record<string, UnitStage>>;
  /** When it must be ready to ship; null without a promise. */
  promise: Instant | null;
}

/** All that a forecast of one line is made from. Everything is as it stands at `at`. */
export interface ForecastInput {
  at: Instant;
  roll: RollKind;
  /** Working minutes from one planned release to the next. */
  pace: Minutes;
  /** When the last unit was released, in working minutes after `at`, so at most 0; null when none was. */
  lastRelease: Minutes | null;
  calendar: CalendarTable;
  stations: ForecastStation[];
  /** In the order of coming: those farthest along first, then those to be released. */
  units: ForecastUnit[];
  stages: ForecastStage[];
}
