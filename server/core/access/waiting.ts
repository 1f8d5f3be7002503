import type { Instant } from '../units.ts';

/** So many failures in a row cost nothing: a person mistypes. */
const FREE_FAILURES = 3;
const FIRST_WAIT_MS = 2_000;
const LONGEST_WAIT_MS = 15 * 60_000;
/** Failures are forgotten after so long without another. */
export const FORGOTTEN_AFTER_MS = 60 * 60_000;

/**
 * Milliseconds from `now` until the next try is looked at, after `failures` in a row of which the last was at `last`. The wait doubles with each
 * failure beyond the third, up to a quarter of an hour; it is counted for a source and a person together, so that nobody can lock out another.
 */
export function waitAfter(failures: number, last: Instant, now: Instant): number {
  if (failures < FREE_FAILURES || now - last >= FORGOTTEN_AFTER_MS) return 0;
  const wait = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(30, failures - FREE_FAILURES));
  return Math.max(0, last + wait - now);
}
