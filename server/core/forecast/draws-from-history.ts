import type { LineHistory } from '../timeline/line-history.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Instant, Minutes } from '../units.ts';
import { constantTable, type DrawTable, drawTable, residualTable } from './draw-table.ts';
import type { Chance, StationDraws } from './forecast-input.ts';

/** How many of a station's latest visits count as recent. */
export const RECENT_VISITS = 40;
/** How many visits the line's own history stands for at a station that has none of its own. */
export const PSEUDO_VISITS = 10;

interface Seen {
  visits: number;
  ratios: number[];
  /** Hours of work. */
  hours: number;
  /** Held minutes of each visit that was held. */
  holds: Minutes[];
  /** Minutes of each stop in each visit. */
  stops: Minutes[];
  shorts: number;
}

/**
 * What to draw at each of `stations` (definitions §6), from its latest 40 closed visits. While it has fewer, n, the line's visits (the latest 40 of each
 * station together) are blended in with the weight of 10 * (1 - n / 40) visits: a station without history draws as the line does, one with 40 visits as itself.
 * Without any history work is the standard and nothing happens. `mending`: work minutes of short items mended lately. The weights are common practice, no source.
 */
export function drawsFrom(visits: readonly Visit[], stations: readonly string[], mending: readonly Minutes[]): Map<string, StationDraws> {
  const recent = new Map<string, Visit[]>(stations.map((station) => [station, []]));
  for (const visit of visits) if (isWhole(visit)) recent.get(visit.station)?.push(visit);
  for (const [station, all] of recent) recent.set(station, all.sort((a, b) => a.left! - b.left!).slice(-RECENT_VISITS));
  const line = seenIn([...recent.values()].flat());
  const mends = mending.length > 0 ? drawTable(mending) : constantTable(0);
  return new Map([...recent].map(([station, own]) => [station, blend(seenIn(own), line, mends)]));
}

/** A visit that was scanned, finished and left; one that ended because the unit was pulled off says nothing of how long the work takes. */
function isWhole({ notScanned, left, finished, leftHow }: Visit): boolean {
  return !notScanned && left !== null && finished !== null && leftHow !== 'pulledOff';
}

function seenIn(visits: readonly Visit[]): Seen {
  const seen: Seen = { visits: visits.length, ratios: [], hours: 0, holds: [], stops: [], shorts: 0 };
  for (const { standard, minutes, causes, leftHow } of visits) {
    if (standard > 0) seen.ratios.push(minutes.work / standard);
    seen.hours += minutes.work / 60;
    if (minutes.held > 0) seen.holds.push(minutes.held);
    for (const cause of causes) if (cause.kind === 'stop' && cause.minutes > 0) seen.stops.push(cause.minutes);
    if (leftHow === 'short') seen.shorts++;
  }
  return seen;
}

function blend(own: Seen, line: Seen, mends: DrawTable): StationDraws {
  const pseudo = line.visits === 0 ? 0 : PSEUDO_VISITS * Math.max(0, 1 - own.visits / RECENT_VISITS);
  const share = line.visits === 0 ? 0 : pseudo / line.visits;
  const per = (ownCount: number, ownOf: number, lineCount: number, lineOf: number): number => {
    const of = ownOf + share * lineOf;
    return of > 0 ? (ownCount + share * lineCount) / of : 0;
  };
  const chance = (rate: number, ownMinutes: readonly Minutes[], lineMinutes: readonly Minutes[]): Chance => ({ rate, minutes: blended(ownMinutes, lineMinutes, share) ?? constantTable(0) });
  return {
    ratios: blended(own.ratios, line.ratios, share) ?? constantTable(1),
    holds: chance(per(own.holds.length, own.visits, line.holds.length, line.visits), own.holds, line.holds),
    stops: chance(per(own.stops.length, own.hours, line.stops.length, line.hours), own.stops, line.stops),
    shorts: { rate: per(own.shorts, own.visits, line.shorts, line.visits), minutes: mends },
  };
}

/** Own values with weight 1 each, the line's with `share` each; null when there are none. */
function blended(own: readonly number[], line: readonly number[], share: number): DrawTable | null {
  const lines = share > 0 ? line : [];
  if (own.length + lines.length === 0) return null;
  return drawTable([...own, ...lines], [...own.map(() => 1), ...lines.map(() => share)]);
}

/** Working minutes of every cleared hold of the line's units until `at`, by reason. */
export function holdDurations({ units }: LineHistory, at: Instant, workingBetween: (a: Instant, b: Instant) => Minutes): Map<string, Minutes[]> {
  const byReason = new Map<string, Minutes[]>();
  for (const { reason, opened, cleared } of units.flatMap(({ holds }) => holds)) {
    if (cleared === null || cleared > at) continue;
    byReason.set(reason, [...(byReason.get(reason) ?? []), workingBetween(opened, cleared)]);
  }
  return byReason;
}

/** What is left of an open hold that has lasted `elapsed`: drawn from those of its reason that lasted at least as long; where the reason is new, from all. */
export function holdLeft(byReason: ReadonlyMap<string, readonly Minutes[]>, reason: string, elapsed: Minutes): DrawTable {
  return residualTable(byReason.get(reason) ?? [...byReason.values()].flat(), elapsed);
}
