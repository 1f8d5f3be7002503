import type { CheckOutcome, LimitJudge } from '../gates/check.ts';
import type { LabelKind, SaidWeight } from '../setup/labels.ts';
import type { Severity } from '../setup/quality.ts';
import type { Instant, LocalDate } from '../units.ts';
import type { Spot } from './quality-facts.ts';

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
  /** Where it is on the drawings of the unit. */
  spots: Spot[];
  /** What was said of it when it was found, fixed or open again, the last word. */
  note: string;
  /** Photos of it as found and as fixed. */
  photos: string[];
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
  /** By what the last complete attempt was judged. */
  limits: LimitJudge[];
  /** The zone in which work was done after the pass. */
  dueAgain: { zone: string; at: Instant } | null;
}

export interface PartState extends Done {
  /** The fact that recorded it. */
  id: string;
  part: string;
  number: string;
  lot: string;
  /** The unit it was taken out of, or null: it is new. */
  takenFrom: string | null;
}

/** A component that was taken out again. */
export interface PartOut extends PartState {
  removed: Done & { reason: string; takenFor: string | null };
}

/** A campaign that calls the unit in, step by step. */
export interface CampaignState {
  campaign: string;
  title: string;
  opened: Instant;
  steps: { text: string; done: (Done & { note: string }) | null }[];
}

/** What a dealer claimed of the unit. */
export interface ClaimState {
  claim: string;
  claimed: LocalDate;
  what: string;
  zone: string | null;
  part: string | null;
  station: string | null;
}

/** A gate that was passed on the floor: shown for ever, settled by an override or, for a check, by a later pass. */
export interface BreachState extends Done {
  /** The fact that passed it, the gate, and the check or zone. */
  id: string;
  gate: 'access' | 'check' | 'release';
  /** Code of the check, or of the zone that was closed over open work; '' of the release. */
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

/** A label that somebody signed as fitted, with what it said then (gates/label-signed.ts); `cargoLb` null where the unit was not weighed. */
export interface LabelSigned extends Done {
  label: LabelKind;
  said: string;
  cargoLb: number | null;
}

/** What quality keeps of a unit (definitions §8). */
export interface QualityState {
  work: WorkState[];
  checks: CheckState[];
  parts: PartState[];
  /** What was recorded and taken out again, the first to go out first. */
  partsOut: PartOut[];
  campaigns: CampaignState[];
  /** One for each number of a claim, the last word of it. */
  claims: ClaimState[];
  breaches: BreachState[];
  /** Zones that are closed. */
  covered: string[];
  /** Codes of the release items that are settled. */
  settled: string[];
  /** What it weighed when it was weighed last for its labels; null while it was not. */
  weighed: (Done & { weight: SaidWeight }) | null;
  labels: LabelSigned[];
  /** Null while no release was lost since the last one that counts. */
  releaseLost: ReleaseLost | null;
}

export const NO_QUALITY: Readonly<QualityState> = { work: [], checks: [], parts: [], partsOut: [], campaigns: [], claims: [], breaches: [], covered: [], settled: [], weighed: null, labels: [], releaseLost: null };
