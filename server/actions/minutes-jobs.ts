import { derivationAt, type EndedVisit, endedVisits } from '../core/timeline/derive-visits.ts';
import type { LineHistory } from '../core/timeline/line-history.ts';
import type { Instant } from '../core/units.ts';

/** So much of a line is written at once. */
const STRETCH_MS = 2 * 86_400_000;

export interface MinutesWanted {
  /** All there ever was of the line: a stay that a later arrival ended must end alike in every stretch. */
  history: LineHistory;
  /** Visits that ended in [first, latest) are told; after `last` nothing happened. */
  first: Instant;
  last: Instant;
  latest: Instant;
}

/** The visits that ended in [start, end). */
export interface ToldStretch {
  start: Instant;
  end: Instant;
  visits: EndedVisit[];
}

/** The minutes of a line's ended visits, stretch by stretch without a gap. */
export function endedVisitsOf({ history, first, last, latest }: MinutesWanted): ToldStretch[] {
  const derivation = derivationAt(history, Number.POSITIVE_INFINITY);
  const told: ToldStretch[] = [];
  for (let start = first; start < latest;) {
    const end = start > last ? latest : start + STRETCH_MS;
    told.push({ start, end, visits: endedVisits(derivation, start, end) });
    start = end;
  }
  return told;
}
