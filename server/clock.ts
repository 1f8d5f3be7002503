import type { Instant } from './core/units.ts';

/** The only clock of the server. */
export function systemClock(): Instant {
  return Date.now();
}
