import type { Fact } from '../facts/fact.ts';
import type { Instant } from '../units.ts';
import type { Stay } from './line-history.ts';

/** What `minutesFrom` asks about a fact's surroundings, as they are with the fact put in. */
export interface Surroundings {
  /** Stays of a serial, and of every one that was ever identified with it, on all lines. */
  staysOf(unit: string): readonly Stay[];
  /** Serials with a stay on the line at `t`. */
  unitsOn(line: string, t: Instant): readonly string[];
  /** When the fact of this id happened; null when the log does not have it. */
  happened(id: string): Instant | null;
}

/** Stays before the one that a fact touches whose neighbours it may touch too: who came first to a station two places ahead decides whose turn it was. */
const STAYS_BACK = 3;
/** What the floor says of its time may change the work of the shift before it, a night shift's included. */
const FLOOR_TIME_MS = 36 * 3_600_000;

/**
 * From when the minutes of visits may differ for `fact`: visits that ended before are as they were (definitions §2: minutes are derived again over
 * the stretch that a late fact touches). Null for a fact that no minute depends on.
 */
export function minutesFrom(fact: Exclude<Fact, { kind: 'void' }>, around: Surroundings): Instant | null {
  switch (fact.kind) {
    case 'arrive': case 'finish': case 'leave': case 'leaveShort': case 'pullOff': case 'putBack': case 'park': case 'seen': case 'missing':
    case 'ship': case 'cancel': case 'comeBack':
      return back(around.staysOf(fact.unit), fact.happened);
    case 'register': case 'changeBuild':
      return first(around.staysOf(fact.unit));
    case 'identify':
      return earlier(first(around.staysOf(fact.unit)), first(around.staysOf(fact.scanned)));
    case 'openHold': case 'openStop':
      return fact.happened;
    case 'clearHold':
      return around.happened(fact.hold);
    case 'clearStop':
      return around.happened(fact.stop);
    case 'roll':
      return around.unitsOn(fact.line, fact.happened).map((unit) => back(around.staysOf(unit), fact.happened)).reduce((a, b) => Math.min(a, b), fact.happened);
    case 'openUntil': case 'goneHome':
      return fact.happened - FLOOR_TIME_MS;
    default:
      return null;
  }
}

function back(stays: readonly Stay[], t: Instant): Instant {
  const before = stays.map(({ arrived }) => arrived).filter((arrived) => arrived <= t).sort((a, b) => b - a);
  return Math.min(t, before[Math.min(STAYS_BACK, before.length) - 1] ?? t);
}

function first(stays: readonly Stay[]): Instant | null {
  return stays.length === 0 ? null : Math.min(...stays.map(({ arrived }) => arrived));
}

export function earlier(a: Instant | null, b: Instant | null): Instant | null {
  return a === null ? b : b === null ? a : Math.min(a, b);
}
