import type { UnitState } from '../facts/unit-state.ts';
import type { Instant } from '../units.ts';

/** A unit that is gone without a release that counted, while nobody who may let that stand has said why. */
export interface UnreleasedShip {
  unit: string;
  dealer: string;
  carrier: string;
  at: Instant;
  who: string;
  /** The passed gate that an `overrideGate` settles. */
  breach: string;
}

/**
 * Whether the unit is shipped without a release. It stays so until the passed gate is settled, or the unit came back: then the gate stands with
 * it in what is missing for its release. Of several the first that is not settled.
 */
export function unreleasedShip({ unit, dealer, carrier, shipped, breaches }: UnitState): UnreleasedShip | null {
  const passed = breaches.find(({ gate, settled }) => gate === 'release' && settled === null);
  return shipped === null || !passed ? null : { unit, dealer, carrier, at: passed.at, who: passed.who, breach: passed.id };
}
