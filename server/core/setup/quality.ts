import type { LocalDate } from '../units.ts';
import type { LabelKind } from './labels.ts';

/** A room of the unit that a station may close for good: under floor, wall cavity, roof cavity. */
export interface Zone {
  code: string;
  name: string;
}

/** Who a rule is for: absent means every model, and whatever the options. */
export interface ForWhich {
  models?: string[] | undefined;
  /** One of these options is enough. */
  options?: string[] | undefined;
}

/** Who confirmed a limit, when, and against which edition of the code in force. */
export interface LimitConfirmed {
  who: string;
  when: LocalDate;
  edition: string;
}

interface ItemBase {
  /** Used once in its check. */
  code: string;
  text: string;
  /** Zone of the open work that the item opens when it fails, or null. */
  zone: string | null;
  severity: Severity;
  /** Without a photo the item is not done; absent: a photo may be taken. */
  wantsPhoto?: boolean | undefined;
  /** Passing the item signs this label as fitted, with the unit's figures of that moment. */
  label?: LabelKind | undefined;
}
export type CheckItem = ItemBase & (
  | { kind: 'yesNo' }
  | { kind: 'choice'; choices: { text: string; passes: boolean }[] }
  /** `low` and `high` in `unit`, null where there is no such limit. Until they are confirmed a person judges, not the number. */
  | { kind: 'measured'; unit: string; low: number | null; high: number | null; confirmed: LimitConfirmed | null }
);

export type Severity = 'minor' | 'major' | 'safety';

/** A version of a checklist, made at a station. */
export interface Check extends ForWhich {
  code: string;
  name: string;
  version: number;
  station: string;
  /** Work in one of these after a pass makes the check due again. */
  zones: string[];
  /** Hours after which a pass is too old, or null: never. */
  maxAgeHours: number | null;
  /** The check of the certification label. */
  certification: boolean;
  /** What can hurt someone, and who may do it. Empty where nothing can. */
  caution: string;
  items: CheckItem[];
}

/** A kind of component whose number is recorded when it is fitted. */
export interface PartKind extends ForWhich {
  code: string;
  name: string;
  station: string;
  /** Zone it is fitted in, or null: fitting or removing it is work there. */
  zone: string | null;
  /** Whether a lot number is wanted besides. */
  lot: boolean;
  /** `dotTin`: a tyre identification number (49 CFR 574.5); else a regular expression for the whole number. Absent: anything. */
  format?: string | undefined;
}

/** What the plant wants settled before a release, besides the rest: papers, keys, credit. */
export interface ReleaseItem {
  code: string;
  name: string;
}

/** How the plant makes up its VINs (49 CFR 565.15). */
export interface VinMakeUp {
  /** Three characters, or six where the third is 9: those of positions 1–3 and 12–14. */
  manufacturer: string;
  /** Positions 4–8 by model. */
  descriptors: Record<string, string>;
  modelYear: number;
  /** Position 11. */
  plant: string;
}

/** Whether a rule is for a unit of `model` with `options`. */
export function isFor(rule: ForWhich, model: string | null, options: readonly string[]): boolean {
  const ofModel = rule.models === undefined || (model !== null && rule.models.includes(model));
  return ofModel && (rule.options === undefined || rule.options.some((option) => options.includes(option)));
}
