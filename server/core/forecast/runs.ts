import type { CalendarTable } from './calendar-table.ts';

/** One stream of draws: its key, and the table looked up in. */
export interface Stream {
  low: number;
  high: number;
  purpose: number;
  /** Place of the table among all tables. */
  table: number;
  shift: number;
  scale: number;
  /** Where its state is kept from block to block, in doubles; 0: it is made anew for each block. */
  kept: number;
}

/**
 * What is done to a vector, a number for each run of a block. Vectors are named by their place in the memory. A `place` is the station or stage on
 * whose account time passes; it matters only to the one that follows the critical path.
 */
export interface Runs {
  /** Draws from now on belong to this part of the runs. */
  begin(part: number): void;
  fill(to: number, value: number): void;
  copy(to: number, from: number): void;
  /** `to = max(to, from)`. */
  laterOf(to: number, from: number): void;
  draw(to: number, stream: Stream): void;
  /** `ready = max(ready, free)`, kept in `leave`, and the drawn minutes on top. */
  advance(ready: number, free: number, leave: number, stream: Stream, place: number): void;
  /** `to = to + minutes`. */
  add(to: number, minutes: number, place: number): void;
  /** The working minutes `minutes` of a calendar on top of the wall minutes `to`. */
  addOnCalendar(to: number, minutes: number, calendar: CalendarTable, place: number): void;
  /** Working minutes of a calendar become wall minutes. */
  toWall(to: number, calendar: CalendarTable): void;
  /** Adds drawn minutes in the runs in which something happens: `mean` times in the mean, or once. */
  happen(to: number, stream: Stream, mean: number, once: boolean, place: number): void;
  /** Puts `leave` among the `kept` latest leaves, which are in falling order from `leaves` on. */
  insert(leaves: number, kept: number, leave: number): void;
  /** The same, with the unit's length beside it. An empty slot has no length. */
  insertWithLength(leaves: number, lengths: number, kept: number, leave: number, length: number): void;
  /** When a place of `placeLength` is free for one more unit of `length`: as soon as what still stands there leaves room (definitions §5). */
  freeByLength(to: number, leaves: number, lengths: number, kept: number, length: number, placeLength: number): void;
}
