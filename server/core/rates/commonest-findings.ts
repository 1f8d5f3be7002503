import type { UnitState } from '../facts/unit-state.ts';
import type { Severity } from '../setup/quality.ts';
import type { Instant } from '../units.ts';

/** Something that was found more than other things: to be said again with one touch. */
export interface CommonFinding {
  what: string;
  zone: string | null;
  severity: Severity;
  /** How often it was found. */
  found: number;
}

/**
 * What was found most in the work of `station`, by people and checks, the most frequent first, then the latest. The same words in other
 * capitals or spaces are the same finding; zone and severity are those of the last time.
 */
export function commonestFindings(units: readonly Pick<UnitState, 'work'>[], station: string, most: number): CommonFinding[] {
  const counted = new Map<string, CommonFinding & { last: Instant }>();
  for (const { what, zone, severity, belongsTo, found } of units.flatMap(({ work }) => work)) {
    if (belongsTo !== station) continue;
    const key = what.trim().replaceAll(/\s+/g, ' ').toLowerCase();
    const before = counted.get(key);
    const latest = before && before.last > found.at ? before : { what, zone, severity, last: found.at };
    counted.set(key, { what: latest.what, zone: latest.zone, severity: latest.severity, last: latest.last, found: (before?.found ?? 0) + 1 });
  }
  return [...counted.values()].sort((a, b) => b.found - a.found || b.last - a.last || (a.what < b.what ? -1 : 1))
    .slice(0, most).map(({ what, zone, severity, found }) => ({ what, zone, severity, found }));
}
