import type { LabelSetup } from './labels.ts';
import type { Check, PartKind, ReleaseItem, VinMakeUp, Zone } from './quality.ts';
import type { Instant, LocalDate, LocalTime, Minutes } from '../units.ts';

/**
 * The set-up of a plant, as one document. What it says holds from `SetupVersion.validFrom` until
 * the next version (definitions §2: set-up is dated).
 */
export interface Plant {
  code: string;
  name: string;
  /** IANA zone, `America/Indiana/Indianapolis`. A setting, never guessed. */
  timeZone: string;
  halls: Hall[];
  calendars: Calendar[];
  lines: Line[];
  /** Places outside every line: repair bays and yard slots. */
  places: Station[];
  models: Model[];
  options: UnitOption[];
  /** Where units are counted; absent: once for each event (`countPointsOf`). */
  countPoints?: CountPoint[] | undefined;
  /** What the plant's labels look like; absent: as most do (`kiosk/data/read-code.ts`). */
  codes?: ScanCodes | undefined;
  /** Probability of missing its promise above which a unit is at risk, and with which one wants a promise made (definitions §6, §7); 0.2 and 0.8 where absent. */
  lateThreshold?: number | undefined;
  wantedProbability?: number | undefined;
  /** How the plant makes up its VINs; absent: it binds none, and none is wanted for a release. */
  vin?: VinMakeUp | undefined;
  /** Rooms of a unit that stations close (definitions §8). */
  zones?: Zone[] | undefined;
  checks?: Check[] | undefined;
  /** Components whose numbers are recorded. */
  partKinds?: PartKind[] | undefined;
  /** What the plant wants settled before a release, besides the rest. */
  releaseItems?: ReleaseItem[] | undefined;
  /** What the labels of its units say; absent: it wants none. */
  labels?: LabelSetup | undefined;
}

/**
 * How the codes on badges, units and components are told apart. An entry is what such codes begin with, in any case, or between slashes a
 * regular expression for the whole of one, whose group `code`, when it has one, is the code itself.
 */
export interface ScanCodes {
  badge?: string[] | undefined;
  unit?: string[] | undefined;
  component?: string[] | undefined;
}

export interface Hall {
  code: string;
  name: string;
  floors: { code: string; name: string }[];
}

/** `main`: the unit itself is built on it. `inspection`: after the main line. `feeder`: builds a part of a unit. */
export type LinePurpose = 'main' | 'inspection' | 'feeder';

/** `asReady`: each unit moves when it can. `together`: one roll moves every unit one place. */
export type RollKind = 'asReady' | 'together';

export interface Line {
  code: string;
  name: string;
  purpose: LinePurpose;
  roll: RollKind;
  /** Code of the calendar the line works by. */
  calendar: string;
  /** Working minutes from one planned release to the next (takt), for units without a planned release. */
  pace: Minutes;
  /** In the order in which units pass them. */
  stations: Station[];
}

export type StationKind = 'build' | 'check' | 'test' | 'staging' | 'outside' | 'repairBay' | 'yard';

export interface Station {
  /** Unique in the plant, over lines and places. */
  code: string;
  name: string;
  kind: StationKind;
  hall: string;
  floor: string | null;
  /** Places for units, or null where `placeLength` says what fits. */
  capacity: number | null;
  /** Metres of floor for units, or null where `capacity` counts. */
  placeLength: number | null;
  /** Whether a finished unit may leave before one that came before it. */
  unitsMayPass: boolean;
  plannedHeads: number;
  /** Code of the station's own calendar, or null: it follows its line's. */
  calendar: string | null;
  /** Codes of the zones that it closes. */
  covers?: string[] | undefined;
}

export interface Model {
  code: string;
  name: string;
  /** Metres over everything, for places measured by length. */
  length: number;
  /** Standard minutes by station code, at the standard crew. A station without an entry is not on the model's route. */
  standards: Record<string, Minutes>;
}

export interface UnitOption {
  code: string;
  name: string;
  /** Minutes added by station code. An entry puts the station on the route of a unit that has the option. */
  minutes: Record<string, Minutes>;
}

/**
 * `offLine`: leaves `station`, by default the last of its route on a main line. `finished`: is finished at `station`, by default the last of
 * its route on the plant's last line that is no feeder. `released`, `shipped`: by the office; they have no station.
 */
export type CountEvent = 'offLine' | 'finished' | 'released' | 'shipped';

export interface CountPoint {
  code: string;
  name: string;
  event: CountEvent;
  station: string | null;
}

export type Weekday = 'mon' | 'tue' | 'wed' | 'thu' | 'fri' | 'sat' | 'sun';

export interface Break {
  start: LocalTime;
  end: LocalTime;
}

/** One shift of a day. `end` not after `start` crosses midnight and belongs to the day it starts on. */
export interface DayShift {
  name: string;
  start: LocalTime;
  end: LocalTime;
  breaks: Break[];
}

export interface WeeklyShift extends DayShift {
  weekdays: Weekday[];
}

/**
 * `closed`: no shift that day. `shortDay`: `shifts` instead of the weekly ones.
 * `overtime`: `shifts` besides the weekly ones.
 */
export interface CalendarException {
  date: LocalDate;
  kind: 'closed' | 'shortDay' | 'overtime';
  shifts: DayShift[];
  note: string;
}

export interface Calendar {
  code: string;
  shifts: WeeklyShift[];
  exceptions: CalendarException[];
}

/** One dated version of a plant's set-up. */
export interface SetupVersion {
  /** 1, 2, 3 … in the order in which they were loaded. */
  version: number;
  validFrom: Instant;
  plant: Plant;
}
