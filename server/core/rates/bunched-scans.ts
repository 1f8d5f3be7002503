import type { Fact } from '../facts/fact.ts';
import { type Instant, type Minutes, MS_PER_MINUTE } from '../units.ts';

/** A scan of a unit at a station. */
export type Scan = Extract<Fact, { kind: 'arrive' | 'finish' | 'leave' | 'leaveShort' | 'putBack' }>;

export function isScan(fact: Fact): fact is Scan {
  return fact.kind === 'arrive' || fact.kind === 'finish' || fact.kind === 'leave' || fact.kind === 'leaveShort' || fact.kind === 'putBack';
}

/** What says whether two scans can have been so near together. */
export interface BunchRule {
  /** Scans of one device this near together are looked at. Common practice, no source. */
  within: Minutes;
  /** A visit of at least this standard cannot come and go within that time. Common practice, no source. */
  leastStandard: Minutes;
}

export const BUNCH_RULE: BunchRule = { within: 1, leastStandard: 5 };

/** Standard minutes of the unit's work at the station and its places, at the instant of the scan. */
export type PlaceOfScan = (scan: Scan) => { standard: Minutes; places: number };

/**
 * The scans that one device stated less than `within` apart, by its clock, though what they state cannot have been so near together. Of two
 * such scans both are told. They cannot when the station has work of at least `leastStandard` and
 * - they are the coming and the finish of one unit there,
 * - they are two comings of one unit, at this station and at another,
 * - they are two comings or two finishes of different units, and the station has one place.
 * Instants that a person told are left out: they are told as such.
 */
export function bunchedScans(scans: readonly Scan[], placeOf: PlaceOfScan, rule: BunchRule = BUNCH_RULE): Set<string> {
  const byDevice = new Map<string, Scan[]>();
  for (const scan of scans) if (!scan.told) byDevice.set(scan.device, [...(byDevice.get(scan.device) ?? []), scan]);
  const bunched = new Set<string>();
  for (const own of byDevice.values()) {
    own.sort((a, b) => a.happened - b.happened || a.counter - b.counter);
    own.forEach((scan, i) => {
      for (let k = i + 1; k < own.length && near(scan.happened, own[k]!.happened, rule); k++) {
        if (!cannotBe(scan, own[k]!, placeOf, rule)) continue;
        bunched.add(scan.id).add(own[k]!.id);
      }
    });
  }
  return bunched;
}

const near = (a: Instant, b: Instant, rule: BunchRule): boolean => b - a < rule.within * MS_PER_MINUTE;

const comes = (scan: Scan): boolean => scan.kind === 'arrive' || scan.kind === 'putBack';

function cannotBe(first: Scan, second: Scan, placeOf: PlaceOfScan, rule: BunchRule): boolean {
  const { standard, places } = placeOf(first);
  if (standard < rule.leastStandard || !(comes(first) || first.kind === 'finish')) return false;
  const sameStation = first.station === second.station;
  if (first.unit === second.unit) return comes(first) && (sameStation ? second.kind === 'finish' : comes(second));
  return sameStation && places === 1 && ((comes(first) && comes(second)) || (first.kind === 'finish' && second.kind === 'finish'));
}
