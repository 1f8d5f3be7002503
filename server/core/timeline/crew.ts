import type { Station } from '../setup/plant.ts';
import type { Shift } from '../calendar/shifts.ts';
import type { WorkingTime } from '../calendar/working-time.ts';
import type { Instant } from '../units.ts';

/** What was said of a station's heads: how many started the shift, or how many were lent to it. */
export interface CrewWord {
  /** Of the fact that said it. */
  id: string;
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

/** The shift whose heads are meant at `t`: the one that `t` lies in, else the one that starts soon enough for heads to be counted for it. */
export function crewShift(time: Pick<WorkingTime, 'shiftAt' | 'shiftsBetween'>, t: Instant): Shift | null {
  return time.shiftAt(t) ?? time.shiftsBetween(t, t + BEFORE_MS + 1)[0] ?? null;
}

/** What was said by `t` for `shift`. */
export function wordsOfShift(words: readonly CrewWord[], shift: Shift, t: Instant): CrewWord[] {
  return words.filter(({ happened }) => happened >= shift.start - BEFORE_MS && happened <= t && happened < shift.end);
}

/** Heads lent to the station of `code` at `t`, less those it lends: negative when it lends more. `said` are the words of its shift. */
export function lentAt(code: string, said: readonly CrewWord[], t: Instant): number {
  let lent = 0;
  for (const word of said) {
    if (word.kind !== 'loan' || (word.until !== null && word.until <= t)) continue;
    if (word.station === code) lent += word.heads;
    if (word.from === code) lent -= word.heads;
  }
  return lent;
}

/** The crew of `station` at `t`, in the shift that `t` lies in (null between shifts: nobody is missing there). */
export function crewAt(station: Pick<Station, 'code' | 'plannedHeads'>, words: readonly CrewWord[], shift: Shift | null, t: Instant): Crew {
  const planned = station.plannedHeads;
  if (!shift) return { planned, here: planned, short: 0, stated: false };
  const said = wordsOfShift(words, shift, t);
  const counted = said.filter((word) => word.kind === 'heads' && word.station === station.code).at(-1);
  const here = Math.max(0, (counted?.heads ?? planned) + lentAt(station.code, said, t));
  return { planned, here, short: Math.max(0, planned - here), stated: counted !== undefined };
}
