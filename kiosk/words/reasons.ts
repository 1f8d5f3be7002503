import { english, t, type WordKey } from './catalogue.ts';

export const HOLD_REASONS = ['reason.partMissing', 'reason.wrongPart', 'reason.damage', 'reason.decision', 'reason.failedCheck', 'reason.drawing'] as const satisfies WordKey[];
export const STOP_REASONS = ['reason.hoist', 'reason.tool', 'reason.material', 'reason.crew', 'reason.air', 'reason.power'] as const satisfies WordKey[];
export const PULL_REASONS = ['reason.damage', 'reason.failedCheck', 'reason.wrongPart', 'reason.decision'] as const satisfies WordKey[];
/** Stated by the screens themselves. */
const OWN_REASONS = ['reason.undone', 'reason.named'] as const satisfies WordKey[];

type ReasonKey = (typeof HOLD_REASONS | typeof STOP_REASONS | typeof PULL_REASONS | typeof OWN_REASONS)[number];

const byText = new Map<string, WordKey>([...HOLD_REASONS, ...STOP_REASONS, ...PULL_REASONS, ...OWN_REASONS].map((key) => [english(key), key]));

/** What a fact carries as its reason: the same text whatever language it was chosen in, so that reports count it as one. */
export function statedReason(key: ReasonKey): string {
  return english(key);
}

/** A stated reason in the reader's language; what a person typed stays as it was typed. */
export function reasonText(stated: string): string {
  const key = byText.get(stated);
  return key ? t(key) : stated;
}
