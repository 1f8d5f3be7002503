import type { CheckOutcome } from '../gates/check.ts';
import type { Severity } from '../setup/quality.ts';
import type { Instant } from '../units.ts';

interface Done {
  at: Instant;
  who: string;
}

/** Work that was found on the unit. It is open until it is verified. */
export interface WorkState {
  id: string;
  what: string;
  zone: string | null;
  severity: Severity;
  /** Station whose work it is, or null. */
  belongsTo: string | null;
  /** The item that failed, when a check opened it. */
  ofCheck: { check: string; item: string } | null;
  found: Done;
  status: 'found' | 'fixed' | 'verified';
  fixed: Done | null;
  verified: Done | null;
  /** How often it was open again after it was fixed. */
  reopened: number;
}

/** Where the unit stands with one check. An attempt that was not complete counts as none. */
export interface CheckState {
  check: string;
  version: number;
  attempts: number;
  outcome: CheckOutcome;
  at: Instant;
  who: string;
  /** The last complete attempt, and how the first one ended. */
  first: { passed: boolean; at: Instant } | null;
  /** When it was passed, or null while it is not. */
  passedAt: Instant | null;
  /** The zone in which work was done after the pass. */
  dueAgain: { zone: string; at: Instant } | null;
}

export interface PartState extends Done {
  /** The fact that recorded it. */
  id: string;
  part: string;
  number: string;
  lot: string;
}

/** A gate that was passed on the floor: shown for ever, settled by an override or, for a check, by a later pass. */
export interface BreachState extends Done {
  /** The fact that passed it, the gate, and the check or zone. */
  id: string;
  gate: 'access' | 'check';
  /** Code of the check, or of the zone that was closed over open work. */
  detail: string;
  station: string | null;
  settled: (Done & { reason: string }) | null;
}

/** A release that does not count, or no longer does: by which fact, and what was missing (gates/release.ts). */
export interface ReleaseLost {
  fact: string;
  at: Instant;
  missing: string[];
}

/** What quality keeps of a unit (definitions §8). */
export interface QualityState {
  work: WorkState[];
  checks: CheckState[];
  parts: PartState[];
  breaches: BreachState[];
  /** Zones that are closed. */
  covered: string[];
  /** Codes of the release items that are settled. */
  settled: string[];
  /** Null while no release was lost since the last one that counts. */
  releaseLost: ReleaseLost | null;
}

export const NO_QUALITY: Readonly<QualityState> = { work: [], checks: [], parts: [], breaches: [], covered: [], settled: [], releaseLost: null };
