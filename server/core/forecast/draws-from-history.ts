import type { UnitHistory } from '../timeline/line-history.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Instant, Minutes } from '../units.ts';
import { constantTable, type DrawTable, drawTable, residualTable } from './draw-table.ts';
import type { Chance, StationDraws } from './forecast-input.ts';

/** How many of a station's latest visits count as recent. */
export const RECENT_VISITS = 40;
/** How many visits the line's own history stands for at a station that has none of its own. */
export const PSEUDO_VISITS = 10;

/** How many visits the line's own history always stands for where holds, stops and short items are told: of what is rare 40 visits say little. */
export const PSEUDO_VISITS_OF_RARE = 40;

/** A visit, as far as anything is drawn from it. */
export type RecentVisit = Pick<Visit, 'unit' | 'station' | 'notScanned' | 'arrived' | 'left' | 'finished' | 'leftHow' | 'standard' | 'minutes' | 'causes' | 'dwell'>;

/** How much each visit counts in turn: 1 for all, or by chance around 1, see `bayesianWeights`. */
export type Weigh = () => number;
export const equally: Weigh = () => 1;

interface Seen {
  /** Weights of the visits. */
  visits: number;
  ratios: Weighed[];
  /** Hours of work. */
  hours: number;
  /** Held minutes of each visit that was held. */
  holds: Weighed[];
  /** Minutes of each stop in each visit. */
  stops: Weighed[];
  shorts: number;
}

interface Weighed {
  value: number;
  weight: number;
}

/**
 * What to draw at each of `stations` (definitions §6), from its latest 40 closed visits. While it has fewer, n, the line's visits (the latest 40 of each
 * station together) are blended in with the weight of 10 * (1 - n / 40) visits: a station without history draws as the line does, one with 40 visits as itself.
 * What is rare is blended with the weight of 40 visits always. Without any history work is the standard and nothing happens. `mending`: work minutes of short items
 * mended lately. The weights are common practice, no source.
 *
 * Roll lag is drawn with the work, for it takes the station's time and nobody is waited for: with the visit that it ended, or, where the unit was blocked before, with
 * its next visit, whose place stood free meanwhile.
 */
export function drawsFrom(visits: readonly RecentVisit[], stations: readonly string[], mending: readonly Minutes[], weigh: Weigh = equally): Map<string, StationDraws> {
  const recent = new Map<string, RecentVisit[]>(stations.map((station) => [station, []]));
  for (const visit of visits) if (isWhole(visit)) recent.get(visit.station)?.push(visit);
  const lags = lagsBefore(visits);
  const seen = new Map([...recent].map(([station, all]) => [station, seenIn(all.sort((a, b) => a.left! - b.left!).slice(-RECENT_VISITS), lags, weigh)]));
  const line = together([...seen.values()]);
  const mends = mending.length > 0 ? drawTable(mending) : constantTable(0);
  return new Map([...seen].map(([station, own]) => [station, blend(own, line, mends)]));
}

/** A visit that was scanned, finished and left; one that ended because the unit was pulled off says nothing of how long the work takes. */
function isWhole({ notScanned, left, finished, leftHow }: RecentVisit): boolean {
  return !notScanned && left !== null && finished !== null && leftHow !== 'pulledOff';
}

/** By unit and instant: roll lag of a visit that was blocked and ended then, while the place that the unit came to stood free. */
function lagsBefore(visits: readonly RecentVisit[]): Map<string, Minutes> {
  return new Map(visits.flatMap(({ unit, left, minutes }) => (left !== null && minutes.blocked > 0 && minutes.rollLag > 0 ? [[`${left} ${unit}`, minutes.rollLag] as const] : [])));
}

function seenIn(visits: readonly RecentVisit[], lags: ReadonlyMap<string, Minutes>, weigh: Weigh): Seen {
  const seen: Seen = { visits: 0, ratios: [], hours: 0, holds: [], stops: [], shorts: 0 };
  for (const { unit, arrived, standard, minutes, causes, leftHow } of visits) {
    const weight = weigh();
    const lag = (minutes.blocked > 0 ? 0 : minutes.rollLag) + (lags.get(`${arrived} ${unit}`) ?? 0);
    seen.visits += weight;
    if (standard > 0) seen.ratios.push({ value: (minutes.work + lag) / standard, weight });
    seen.hours += (weight * minutes.work) / 60;
    if (minutes.held > 0) seen.holds.push({ value: minutes.held, weight });
    for (const cause of causes) if (cause.kind === 'stop' && cause.minutes > 0) seen.stops.push({ value: cause.minutes, weight });
    if (leftHow === 'short') seen.shorts += weight;
  }
  return seen;
}

function together(all: readonly Seen[]): Seen {
  const sum = (of: (seen: Seen) => number): number => all.reduce((total, seen) => total + of(seen), 0);
  return {
    visits: sum(({ visits }) => visits), hours: sum(({ hours }) => hours), shorts: sum(({ shorts }) => shorts),
    ratios: all.flatMap(({ ratios }) => ratios), holds: all.flatMap(({ holds }) => holds), stops: all.flatMap(({ stops }) => stops),
  };
}

function blend(own: Seen, line: Seen, mends: DrawTable): StationDraws {
  const shareOf = (pseudo: number): number => (line.visits === 0 ? 0 : pseudo / line.visits);
  const ofRare = shareOf(PSEUDO_VISITS_OF_RARE);
  const per = (ownCount: number, ownOf: number, lineCount: number, lineOf: number): number => {
    const of = ownOf + ofRare * lineOf;
    return of > 0 ? (ownCount + ofRare * lineCount) / of : 0;
  };
  const weightOf = (happened: readonly Weighed[]): number => happened.reduce((sum, { weight }) => sum + weight, 0);
  const chance = (of: 'holds' | 'stops', ownOf: number, lineOf: number): Chance =>
    ({ rate: per(weightOf(own[of]), ownOf, weightOf(line[of]), lineOf), minutes: blended(own[of], line[of], ofRare) ?? constantTable(0) });
  return {
    ratios: blended(own.ratios, line.ratios, shareOf(PSEUDO_VISITS * Math.max(0, 1 - own.visits / RECENT_VISITS))) ?? constantTable(1),
    holds: chance('holds', own.visits, line.visits), stops: chance('stops', own.hours, line.hours),
    shorts: { rate: per(own.shorts, own.visits, line.shorts, line.visits), minutes: mends },
  };
}

/** Own values, and the line's with `share` of their weight each; null when there are none. */
export function blended(own: readonly Weighed[], line: readonly Weighed[], share: number): DrawTable | null {
  const all = [...own, ...(share > 0 ? line.map(({ value, weight }) => ({ value, weight: weight * share })) : [])];
  return all.length === 0 ? null : drawTable(all.map(({ value }) => value), all.map(({ weight }) => weight));
}

/** Working minutes of every hold of `units` that was cleared until `at`, by reason. */
export function holdDurations({ units }: { units: readonly Pick<UnitHistory, 'holds'>[] }, at: Instant, workingBetween: (a: Instant, b: Instant) => Minutes): Map<string, Minutes[]> {
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
