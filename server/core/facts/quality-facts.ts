import type { Severity } from '../setup/quality.ts';
import type { FactBase } from './fact.ts';

/** The drawings of a unit on which a place is pointed at: road side and door side from outside, and the plan from above, its front to the left. */
export const DRAWINGS = ['road', 'door', 'plan'] as const;
export type Drawing = (typeof DRAWINGS)[number];

/** A place on a drawing: shares of its width from the left and of its height from the top, 0 to 1. */
export interface Spot {
  drawing: Drawing;
  x: number;
  y: number;
}

/** Where something is and what it looks like. `photo` is the id of a kept photo. Left out where nobody said. */
export interface Shown {
  spots?: Spot[];
  photo?: string;
}

/** What was found at an item of a check: yes or no, the choice's text, the reading. `judged` is a person's word where no confirmed limit judges. */
export interface ItemResult extends Shown {
  item: string;
  value: boolean | string | number;
  judged: boolean | null;
  note?: string;
}

// Facts about open work (definitions §8).
/** Something to mend was found. `belongsTo` is the station whose work it is, or null where nobody has said. */
export interface FindWork extends FactBase, Shown { kind: 'findWork'; unit: string; what: string; zone: string | null; severity: Severity; belongsTo: string | null }
/** `work` is the id of a `findWork`, or, of work that a failed item opened, the id of the `checkResult`, a slash and the item's code. */
export interface FixWork extends FactBase { kind: 'fixWork'; unit: string; work: string; note: string; photo?: string }
/** By another person than the one who fixed it. */
export interface VerifyWork extends FactBase { kind: 'verifyWork'; unit: string; work: string; note: string }
export interface ReopenWork extends FactBase { kind: 'reopenWork'; unit: string; work: string; reason: string }
/** The station closes these zones of the unit for good: its own sign-off. */
export interface CoverZones extends FactBase { kind: 'coverZones'; unit: string; station: string; zones: string[] }
/** Zones closed before are open again, for work in them. */
export interface UncoverZones extends FactBase { kind: 'uncoverZones'; unit: string; zones: string[]; reason: string }

// Facts about checks, parts and gates.
/** One attempt at version `version` of a check. */
export interface CheckResult extends FactBase { kind: 'checkResult'; unit: string; check: string; version: number; results: ItemResult[] }
/** A component of the kind `part` is fitted. `lot` is '' where none is wanted. `takenFrom`: the unit it was taken out of. */
export interface RecordPart extends FactBase { kind: 'recordPart'; unit: string; part: string; number: string; lot: string; takenFrom?: string }
/** What the `recordPart` with id `fitted` fitted is taken out. `takenFor`: the unit that gets it; this one is short of it then. */
export interface RemovePart extends FactBase { kind: 'removePart'; unit: string; fitted: string; reason: string; takenFor?: string }
/** One who may lets what passed a gate stand. */
export interface OverrideGate extends FactBase { kind: 'overrideGate'; unit: string; breach: string; reason: string }
/** Something that the plant wants before a release is settled, or is not any more. */
export interface SettleItem extends FactBase { kind: 'settleItem'; unit: string; item: string; settled: boolean; note: string }

// Facts about units that were built already.
/** The unit is called in: every step is to be done to it and signed. `campaign` is the code under which it stands on every unit. */
export interface OpenCampaign extends FactBase { kind: 'openCampaign'; unit: string; campaign: string; title: string; steps: string[] }
/** Step number `step` (from 0) is done to the unit. */
export interface SignStep extends FactBase { kind: 'signStep'; unit: string; campaign: string; step: number; note: string }

export type QualityFact =
  | OpenCampaign | SignStep
  | FindWork | FixWork | VerifyWork | ReopenWork | CoverZones | UncoverZones | CheckResult | RecordPart | RemovePart | OverrideGate | SettleItem;
