import type { Recorded } from '../core/facts/fact.ts';
import type { Flag } from '../core/facts/flag.ts';

/** Clocks of devices differ by seconds: no fact is called one of the future for less. */
const TOLERANCE_MS = 60_000;

/** What surprises about a fact by when it was recorded: it happened later than that. `unit` is the one it counts for. */
export function recordingFlags(fact: Recorded, unit: string | null): Flag[] {
  if (fact.happened <= fact.recorded + TOLERANCE_MS) return [];
  return [{ fact: fact.id, code: 'future', unit, station: 'station' in fact ? fact.station : null, detail: '' }];
}
