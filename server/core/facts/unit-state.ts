import type { Instant, LocalDate } from '../units.ts';
import type { KeepsFrom } from './fact.ts';
import type { QualityState } from './quality-state.ts';

/** Where a unit stands, as its own facts (and the rolls of its line) say: the whereabouts of definitions §2. */
export interface UnitPlace {
  /** Line of the station, or null for a repair bay or yard place. */
  line: string | null;
  station: string;
  slot: string;
  since: Instant;
  finished: Instant | null;
  /** The fact that brought it here. */
  broughtBy: string;
}

export interface OpenHoldState {
  id: string;
  reason: string;
  keepsFrom: KeepsFrom;
  fromStation: string | null;
  note: string;
  opened: Instant;
  who: string;
}

export interface OpenShortState {
  short: string;
  item: number;
  what: string;
  owner: string;
  fitAt: string | null;
  expected: Instant | null;
  zone: string | null;
  station: string;
  opened: Instant;
}

/**
 * `scheduled` not on a line yet; `onLine`; `offLine` pulled off; `inspection` on an inspection line; `yard` off the
 * end, not released; `released` not gone; `shipped`; `cancelled`.
 */
export type UnitStage = 'scheduled' | 'onLine' | 'offLine' | 'inspection' | 'yard' | 'released' | 'shipped' | 'cancelled';

export interface UnitState extends QualityState {
  unit: string;
  /** False while no `register` names it: it waits in the list of unknown units. */
  known: boolean;
  model: string | null;
  options: string[];
  order: string;
  dealer: string;
  sequence: number | null;
  plannedRelease: Instant | null;
  wish: LocalDate | null;
  firstPromise: LocalDate | null;
  promise: LocalDate | null;
  /** Who moved the promise last, or null while the first one stands. */
  promiseMoved: { who: string; at: Instant; reason: string } | null;
  vin: string | null;
  stage: UnitStage;
  /** Since when it is in this stage. */
  stageSince: Instant | null;
  /** Null before the first arrival, and between two places after a `leave`. */
  place: UnitPlace | null;
  /** When a person last found it on a walk of the line. */
  seen: Instant | null;
  /** Last station of a line it stood at, for the next one on its route. */
  lastStation: string | null;
  holds: OpenHoldState[];
  shorts: OpenShortState[];
  offLineReason: string | null;
  released: Instant | null;
  shipped: Instant | null;
  /** The truck it went on; '' where nobody said, and before. */
  carrier: string;
  cancelled: Instant | null;
  /** The load that it goes or went with; null for none. */
  load: string | null;
  /** When and why it last came back after it was shipped, and with which load it had gone; null when it never did. */
  cameBack: { at: Instant; reason: string; load: string | null } | null;
  /** Where it was scanned last after it was shipped or cancelled. Such a scan moves nothing; null when there was none. */
  seenGone: { station: string; at: Instant } | null;
}
