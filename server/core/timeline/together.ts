import type { Instant } from '../units.ts';
import { type Derivation, keepsHere, stepOf } from './derivation.ts';
import { leaveOf, staysDuring } from './occupancy.ts';

/**
 * On a line that rolls together: the instant at which every unit that stood on it until `until` was finished and free of holds that
 * keep it. Infinity while one is not.
 */
export function allReadyAt(derivation: Derivation, until: Instant): Instant {
  const known = derivation.readyAt.get(until) ?? readyOf(derivation, until);
  derivation.readyAt.set(until, known);
  return known;
}

function readyOf({ history, occupancy, at }: Derivation, until: Instant): Instant {
  let ready = Number.NEGATIVE_INFINITY;
  for (const station of occupancy.byStation.keys()) {
    // A millisecond before, so that stays that end exactly at `until` are among them.
    for (const stay of staysDuring(occupancy, station, until - 1, until)) {
      if (stay.arrived >= until || leaveOf(stay) < until) continue;
      const finished = stay.finished ?? (stay.left !== null ? stay.left : Number.POSITIVE_INFINITY);
      const { next } = stepOf(history, stay);
      ready = Math.max(ready, finished);
      for (const hold of stay.of.holds) {
        const known = hold.opened < until && hold.opened <= at && keepsHere(hold, next);
        if (known && (hold.cleared === null || hold.cleared > finished)) ready = Math.max(ready, hold.cleared !== null && hold.cleared <= at ? hold.cleared : Number.POSITIVE_INFINITY);
      }
    }
  }
  return ready;
}
