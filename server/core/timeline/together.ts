import type { Instant } from '../units.ts';
import { type Derivation, keepsHere, stepOf } from './derivation.ts';
import { leaveOf } from './occupancy.ts';

/**
 * On a line that rolls together: the instant at which every unit that stood on it until `until` was finished and free of holds that
 * keep it. Infinity while one is not.
 */
export function allReadyAt({ history, occupancy, at }: Derivation, until: Instant): Instant {
  let ready = Number.NEGATIVE_INFINITY;
  for (const { stays } of occupancy.byStation.values()) {
    for (const stay of stays) {
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
