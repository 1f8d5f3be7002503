import { isDatabaseAway } from '../store/unavailable.ts';

/** Tells whether an action failed because the database does not answer; the same request may be made again. */
export function isDatabaseAwayError(error: unknown): boolean {
  return isDatabaseAway(error);
}
