import type { Instant, Minutes } from '../units.ts';
import type { CalendarTable } from './calendar-table.ts';

/** Places in the one array of tables, and how far a 32-bit draw is shifted to become an index. */
export interface Draws {
  table: Int32Array;
  shift: Uint8Array;
}

/** The visits to be drawn, one a step; those of unit u are steps `first[u]` to `first[u + 1]`. */
export interface CompiledSteps extends Draws {
  first: Int32Array;
  station: Int32Array;
  scale: Float64Array;
  /** The unit stands there already. */
  standing: Uint8Array;
  low: Uint32Array;
  high: Uint32Array;
  /** Chances of step k are `firstChance[k]` to `firstChance[k + 1]`. */
  firstChance: Int32Array;
}

/** What may happen during a visit: `mean` times (Poisson), or once with the probability that this mean has. */
export interface CompiledChances extends Draws {
  purpose: Uint8Array;
  mean: Float64Array;
  once: Uint8Array;
}

/** Open holds of unit u are `first[u]` to `first[u + 1]`. The unit may not begin step `before` until it is cleared. */
export interface CompiledHolds extends Draws {
  first: Int32Array;
  /** A step of the unit, the step after its last one for leaving the line's end, or SHIPPING. */
  before: Int32Array;
  /** Working minutes of the line until it is cleared, or NaN: drawn. */
  fixed: Float64Array;
  low: Uint32Array;
  high: Uint32Array;
  ids: string[];
}

export const SHIPPING = -1;

export interface CompiledStages extends Draws {
  capacity: Int32Array;
  calendar: Int32Array;
  /** Of stage g for unit u at `u * stages + g`, as is what the minutes are multiplied by. */
  probability: Float64Array;
  scale: Float64Array;
  mends: Uint8Array;
  /** Index of the stage after which a unit is ready to ship, or -1. */
  ready: number;
}

/** What is known of each unit. */
export interface CompiledUnits {
  names: string[];
  length: Float64Array;
  /** On the line, or off it and coming back; else to be released. */
  onLine: Uint8Array;
  /** Working minutes to its release; NaN: one pace after the roll of the release before (a line that rolls together). */
  release: Float64Array;
  /** Wall minutes to its promise, or NaN. */
  promise: Float64Array;
  /** The stage it is at, or -1. */
  stage: Int32Array;
  stageStanding: Uint8Array;
  /** Minutes left at the stage where it stands. */
  stageLeft: Draws;
  /** Open short items of unit u are `firstShort[u]` to `firstShort[u + 1]` of `shorts`. */
  firstShort: Int32Array;
  shorts: Draws;
  low: Uint32Array;
  high: Uint32Array;
}

export interface CompiledStations {
  /** Stations of the line, then the stages. */
  codes: string[];
  /** Stations of the line only. */
  count: number;
  /** 0: nothing limits it. */
  capacity: Int32Array;
  /** NaN: capacity counts. */
  placeLength: Float64Array;
  mayPass: Uint8Array;
  calendar: Int32Array;
  /** How many of the latest leaves must be known. */
  kept: Int32Array;
}

/** A line in flat typed arrays, ready to be run; it may be posted to another thread as it is. */
export interface CompiledLine {
  at: Instant;
  together: boolean;
  /** Stations have calendars of their own: the line runs in wall-clock minutes, not in the line's working minutes. */
  wallClock: boolean;
  pace: Minutes;
  tables: Float64Array;
  calendars: CalendarTable[];
  stations: CompiledStations;
  units: CompiledUnits;
  steps: CompiledSteps;
  chances: CompiledChances;
  holds: CompiledHolds;
  stages: CompiledStages;
}
