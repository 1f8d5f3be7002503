import type { Instant, LocalDate } from '../units.ts';
import type { QualityFact } from './quality-facts.ts';

/**
 * What every fact carries (definitions §2). A fact is never edited or deleted; a `void` answers a mistake.
 */
export interface FactBase {
  /** Made by the client: a UUID of version 7, so that the id names its month. */
  id: string;
  /** The instant it happened. */
  happened: Instant;
  /** True when a person said the instant ("it was at 10:05") instead of the device's clock. */
  told: boolean;
  /** Who states it: a badge code until people sign in. */
  who: string;
  /** Which device states it. */
  device: string;
  /** The device's own counter, rising by one with each fact it states. */
  counter: number;
  /** Milliseconds that `happened` was moved by, from the device's own clock to the server's; absent: by none. */
  corrected?: number;
}

/** What a hold keeps the unit from: going on with work, leaving, a named station, shipping. */
export type KeepsFrom = 'work' | 'leaving' | 'station' | 'shipping';

export interface ShortItem {
  what: string;
  /** Whose it is to bring: a department, a supplier, a person. */
  owner: string;
  /** Station that will fit it, or null where nobody has said. */
  fitAt: string | null;
  /** When what is missing is expected, or null where nobody has said. */
  expected: Instant | null;
  /** Zone it lies in, which a station closes; absent or null: it stays within reach. */
  zone?: string | null;
}

// Facts about a unit at a station.
export interface Arrive extends FactBase { kind: 'arrive'; unit: string; station: string }
export interface Finish extends FactBase { kind: 'finish'; unit: string; station: string }
export interface Leave extends FactBase { kind: 'leave'; unit: string; station: string }
/** The unit leaves the station with something missing, carried as open work until a `fitShort`. */
export interface LeaveShort extends FactBase { kind: 'leaveShort'; unit: string; station: string; items: ShortItem[] }
/** Item number `item` (from 0) of the `leaveShort` with id `short` is fitted. */
export interface FitShort extends FactBase { kind: 'fitShort'; unit: string; short: string; item: number }
export interface OpenHold extends FactBase {
  kind: 'openHold'; unit: string; reason: string; keepsFrom: KeepsFrom;
  /** The named station when `keepsFrom` is `station`, else null. */
  fromStation: string | null;
  note: string;
}
export interface ClearHold extends FactBase { kind: 'clearHold'; unit: string; hold: string; note: string }
/** Taken off the line; holds no place until put back. `to` is a repair bay or yard place, or null. */
export interface PullOff extends FactBase { kind: 'pullOff'; unit: string; reason: string; to: string | null }
export interface PutBack extends FactBase { kind: 'putBack'; unit: string; station: string }
/** Stands in a place outside the lines: a yard place or repair bay, with the slot's own number if it has one. */
export interface Park extends FactBase { kind: 'park'; unit: string; place: string; slot: string }
/** Found at the place by a person who walked the line: confirms where it is said to be, or corrects it. */
export interface Seen extends FactBase { kind: 'seen'; unit: string; station: string; slot: string }
/** Not found at the place where it was said to be. */
export interface Missing extends FactBase { kind: 'missing'; unit: string; station: string }
export interface Release extends FactBase { kind: 'release'; unit: string }
/** The release does not stand any more. */
export interface RevokeRelease extends FactBase { kind: 'revokeRelease'; unit: string; reason: string }
/** `carrier`: the truck. `override`: why a unit that is not released goes all the same, said by one who may. */
export interface Ship extends FactBase { kind: 'ship'; unit: string; carrier: string; override?: string }
export interface ComeBack extends FactBase { kind: 'comeBack'; unit: string; reason: string }
/** Goes with the load of one truck; null takes it off the load it is on. */
export interface PutOnLoad extends FactBase { kind: 'putOnLoad'; unit: string; load: string | null }

// Facts about a line or a station.
export interface Roll extends FactBase { kind: 'roll'; line: string }
export interface OpenStop extends FactBase { kind: 'openStop'; station: string; reason: string; note: string }
export interface ClearStop extends FactBase { kind: 'clearStop'; station: string; stop: string; note: string }
/** Exactly one of `line` and `station` is given. Work goes on past the shift's end until `until`. */
export interface OpenUntil extends FactBase { kind: 'openUntil'; line: string | null; station: string | null; until: Instant }
/** Exactly one of `line` and `station` is given. Work ends at `happened` until the next shift starts. */
export interface GoneHome extends FactBase { kind: 'goneHome'; line: string | null; station: string | null }
/** Heads at the station when the shift started: a real number, for a person shared by two stations is half a head at each. */
export interface Heads extends FactBase { kind: 'heads'; station: string; heads: number }
/** Heads lent to `station` for the rest of the shift or until `until`; `from` is the station that lends them, or null for any other place. */
export interface Loan extends FactBase { kind: 'loan'; station: string; from: string | null; heads: number; until: Instant | null }
/** What the next shift of the line must know. */
export interface Note extends FactBase { kind: 'note'; line: string; text: string }
/** Something to be done, by whom and by when; carried from shift to shift until it is closed. */
export interface OpenAction extends FactBase { kind: 'openAction'; line: string; what: string; owner: string; due: Instant | null }
export interface CloseAction extends FactBase { kind: 'closeAction'; line: string; action: string; note: string }

// Facts from the office: units and schedule.
export interface Register extends FactBase {
  kind: 'register'; unit: string; model: string; options: string[]; order: string; dealer: string;
  /** Place in the sequence of the line; a real number, so that a unit can be put between two. */
  sequence: number;
  plannedRelease: Instant | null;
  /** The dealer's wished ship day, and the first promised ship day. */
  wish: LocalDate | null;
  promise: LocalDate | null;
}
export interface BindVin extends FactBase { kind: 'bindVin'; unit: string; vin: string }
export interface Resequence extends FactBase { kind: 'resequence'; unit: string; sequence: number; reason: string }
export interface Replan extends FactBase { kind: 'replan'; unit: string; plannedRelease: Instant | null; reason: string }
export interface Promise_ extends FactBase { kind: 'promise'; unit: string; promise: LocalDate | null; reason: string }
export interface Wish extends FactBase { kind: 'wish'; unit: string; wish: LocalDate | null; reason: string }
export interface ChangeDealer extends FactBase { kind: 'changeDealer'; unit: string; dealer: string; reason: string }
/** The unit's build changes: model and options from `happened` on. */
export interface ChangeBuild extends FactBase { kind: 'changeBuild'; unit: string; model: string; options: string[]; reason: string }
export interface Cancel extends FactBase { kind: 'cancel'; unit: string; reason: string }

// Facts about the loads that trucks take.
/** What is planned of a load; said again, it takes the place of what was said before. */
export interface PlanLoad extends FactBase {
  kind: 'planLoad'; load: string; carrier: string;
  /** When the truck is to come, or null where nobody has said. */
  pickUp: Instant | null;
  note: string;
}
/** The carrier was called for the load. */
export interface CallCarrier extends FactBase { kind: 'callCarrier'; load: string; note: string }

// Facts about facts.
export interface Void extends FactBase { kind: 'void'; fact: string; reason: string }
/** What was scanned as `scanned`, unknown until now, is the unit `unit`. */
export interface Identify extends FactBase { kind: 'identify'; unit: string; scanned: string; reason: string }

export type UnitFact =
  | Arrive | Finish | Leave | LeaveShort | FitShort | OpenHold | ClearHold | PullOff | PutBack | Park | Seen | Missing
  | Release | RevokeRelease | Ship | ComeBack | Register | BindVin | Resequence | Replan | Promise_ | Wish | ChangeDealer
  | ChangeBuild | Cancel | Identify | PutOnLoad | QualityFact;
export type PlaceFact = Roll | OpenStop | ClearStop | OpenUntil | GoneHome | Heads | Loan | Note | OpenAction | CloseAction;
export type LoadFact = PlanLoad | CallCarrier;
export type Fact = UnitFact | PlaceFact | LoadFact | Void;
export type FactKind = Fact['kind'];

/** A fact as the log keeps it. `seq` numbers a plant's facts without gaps in the order of recording. */
export type Recorded<F extends Fact = Fact> = F & { recorded: Instant; seq: number };
