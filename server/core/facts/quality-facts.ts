import type { Severity } from '../setup/quality.ts';
import type { FactBase } from './fact.ts';

/** What was found at an item of a check: yes or no, the choice's text, the reading. `judged` is a person's word where no confirmed limit judges. */
export interface ItemResult {
  item: string;
  value: boolean | string | number;
  judged: boolean | null;
}

// Facts about open work (definitions §8).
/** Something to mend was found. `belongsTo` is the station whose work it is, or null where nobody has said. */
export interface FindWork extends FactBase { kind: 'findWork'; unit: string; what: string; zone: string | null; severity: Severity; belongsTo: string | null }
/** `work` is the id of a `findWork`, or, of work that a failed item opened, the id of the `checkResult`, a slash and the item's code. */
export interface FixWork extends FactBase { kind: 'fixWork'; unit: string; work: string; note: string }
export interface VerifyWork extends FactBase { kind: 'verifyWork'; unit: string; work: string; note: string }
export interface ReopenWork extends FactBase { kind: 'reopenWork'; unit: string; work: string; reason: string }
/** The station closes these zones of the unit for good: its own sign-off. */
export interface CoverZones extends FactBase { kind: 'coverZones'; unit: string; station: string; zones: string[] }
/** Zones closed before are open again, for work in them. */
export interface UncoverZones extends FactBase { kind: 'uncoverZones'; unit: string; zones: string[]; reason: string }

// Facts about checks, parts and gates.
/** One attempt at version `version` of a check. */
export interface CheckResult extends FactBase { kind: 'checkResult'; unit: string; check: string; version: number; results: ItemResult[] }
/** A component of the kind `part` is fitted. `lot` is '' where none is wanted. */
export interface RecordPart extends FactBase { kind: 'recordPart'; unit: string; part: string; number: string; lot: string }
/** What the `recordPart` with id `fitted` fitted is taken out. */
export interface RemovePart extends FactBase { kind: 'removePart'; unit: string; fitted: string; reason: string }
/** One who may lets what passed a gate stand. */
export interface OverrideGate extends FactBase { kind: 'overrideGate'; unit: string; breach: string; reason: string }
/** Something that the plant wants before a release is settled, or is not any more. */
export interface SettleItem extends FactBase { kind: 'settleItem'; unit: string; item: string; settled: boolean; note: string }

export type QualityFact =
  | FindWork | FixWork | VerifyWork | ReopenWork | CoverZones | UncoverZones | CheckResult | RecordPart | RemovePart | OverrideGate | SettleItem;
