import type { Station } from '../setup/plant.ts';
import type { Shift } from '../calendar/shifts.ts';
import type { Instant } from '../units.ts';

/** What was said of a station's heads: how many started the shift, or how many were lent to it. */
export interface CrewWord {
  kind: 'heads' | 'loan';
  station: string;
  heads: number;
  happened: Instant;
  /** The station that lends, for a loan; null for heads from any other place. */
  from: string | null;
  until: Instant | null;
}

export interface Crew {
  /** Standard crew. */
  planned: number;
  /** Heads there: as stated at the shift's start, else the standard crew; with what is lent in this shift. */
  here: number;
  /** Heads that are missing to the standard crew; 0 when none is. */
  short: number;
  /** Whether anybody stated the heads in this shift. */
  stated: boolean;
}

/** Heads counted this long before the shift's start count for it. */
const BEFORE_MS = 90 * 60_000;

/** The crew of `station` at `t`, in the shift that `t` lies in (null between shifts: nobody is missing there). */
export function crewAt(station: Pick<Station, 'code' | 'plannedHeads'>, words: readonly CrewWord[], shift: Shift | null, t: Instant): Crew {
  const planned = station.plannedHeads;
  if (!shift) return { planned, here: planned, short: 0, stated: false };
  const said = words.filter(({ happened }) => happened >= shift.start - BEFORE_MS && happened <= t && happened < shift.end);
  const counted = said.filter((word) => word.kind === 'heads' && word.station === station.code).at(-1);
  let here = counted?.heads ?? planned;
  for (const loan of said) {
    if (loan.kind !== 'loan' || (loan.until !== null && loan.until <= t)) continue;
    if (loan.station === station.code) here += loan.heads;
    if (loan.from === station.code) here -= loan.heads;
  }
  here = Math.max(0, here);
  return { planned, here, short: Math.max(0, planned - here), stated: counted !== undefined };
}
