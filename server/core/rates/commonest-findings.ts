import type { UnitState } from '../facts/unit-state.ts';
import type { Severity } from '../setup/quality.ts';
import type { Instant } from '../units.ts';

/** Something that was found more than other things: to be said again with one touch. */
export interface CommonFinding {
  what: string;
  zone: string | null;
  severity: Severity;
  /** How often it was found, ever and since `since`. */
  found: number;
  recent: number;
}

/** Weeks whose findings come before older ones: a line that mended its cause is not asked about it for ever (common practice, no source). */
export const RECENT_WEEKS = 8;
export const RECENT_MS = RECENT_WEEKS * 7 * 86_400_000;

type Counted = CommonFinding & { last: Instant };

/**
 * What was found most in the work of each station, by people and checks: what was found most since `since` first, then most ever, then latest; at
 * most `most` a station. The same words in other capitals or spaces are the same finding; words, zone and severity are those of the last time.
 * Of two at one instant the one whose words come later in order is the last. A function of the set of findings, whatever became of them and of their units.
 */
export function commonestByStation(units: Iterable<Pick<UnitState, 'work'>>, since: Instant, most: number): Record<string, CommonFinding[]> {
  const stations = new Map<string, Map<string, Counted>>();
  // A log of years says the same few things tens of thousands of times.
  const keys = new Map<string, string>();
  for (const { work } of units) {
    for (const { what, zone, severity, belongsTo, found: { at } } of work) {
      if (belongsTo === null) continue;
      const counted = stations.get(belongsTo) ?? new Map<string, Counted>();
      stations.set(belongsTo, counted);
      const key = keys.get(what) ?? sameWords(what);
      keys.set(what, key);
      const one = counted.get(key) ?? { what, zone, severity, last: at, found: 0, recent: 0 };
      counted.set(key, one);
      one.found += 1;
      if (at >= since) one.recent += 1;
      if (at > one.last || (at === one.last && what > one.what)) Object.assign(one, { what, zone, severity, last: at });
    }
  }
  return Object.fromEntries([...stations].sort(([a], [b]) => (a < b ? -1 : 1)).map(([station, counted]) => [station, first(counted, most)]));
}

function first(counted: ReadonlyMap<string, Counted>, most: number): CommonFinding[] {
  return [...counted.values()].sort((a, b) => b.recent - a.recent || b.found - a.found || b.last - a.last || (a.what < b.what ? -1 : 1))
    .slice(0, most).map(({ what, zone, severity, found, recent }) => ({ what, zone, severity, found, recent }));
}

const sameWords = (what: string): string => what.trim().replaceAll(/\s+/g, ' ').toLowerCase();

/** The same for one station. */
export function commonestFindings(units: Iterable<Pick<UnitState, 'work'>>, station: string, since: Instant, most: number): CommonFinding[] {
  return commonestByStation(units, since, most)[station] ?? [];
}
