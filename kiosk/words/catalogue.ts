import { boardWords } from './board.ts';
import { checksWords } from './checks.ts';
import { accessWords } from './access.ts';
import { refusalWords } from './refusals.ts';
import { releaseWords } from './release.ts';
import { partsWords } from './parts.ts';
import { ratesWords } from './rates.ts';
import { commonWords } from './common.ts';
import { crewWords } from './crew.ts';
import { deviceWords } from './device.ts';
import { dwellWords } from './dwell.ts';
import { errorWords } from './errors.ts';
import { factWords } from './facts.ts';
import { flagWords } from './flags.ts';
import { holdsWords } from './holds.ts';
import { hoursWords } from './hours.ts';
import { labelsWords } from './labels.ts';
import { kiosksWords } from './kiosks.ts';
import { lateWords } from './late.ts';
import { loadsWords } from './loads.ts';
import { scansWords } from './scans.ts';
import { qualityWords } from './quality.ts';
import { scheduleWords } from './schedule.ts';
import { plansWords } from './plans.ts';
import { trustWords } from './trust.ts';
import { signInWords } from './sign-in.ts';
import { stationWords } from './station.ts';
import { summaryWords } from './summary.ts';
import { unitWords } from './unit.ts';
import { walkWords } from './walk.ts';
import { vinWords } from './vin.ts';
import { workWords } from './work.ts';
import type { Language, Word } from './word.ts';

const words = {
  ...commonWords, ...signInWords, ...stationWords, ...factWords, ...flagWords, ...errorWords, ...boardWords, ...hoursWords, ...lateWords, ...loadsWords, ...unitWords, ...holdsWords, ...scheduleWords, ...walkWords, ...crewWords, ...summaryWords, ...dwellWords, ...scansWords, ...plansWords, ...trustWords, ...vinWords, ...qualityWords, ...kiosksWords, ...deviceWords, ...workWords, ...ratesWords, ...partsWords, ...releaseWords, ...accessWords, ...refusalWords, ...checksWords, ...labelsWords,
};

export type WordKey = keyof typeof words;

let current: Language = 'en';

export function language(): Language {
  return current;
}

/** Says the language of every later `t`; the application draws itself anew after it. */
export function setLanguage(chosen: Language): void {
  current = chosen;
}

/** The locale that dates and figures are written in. */
export function locale(): string {
  return current === 'es' ? 'es-US' : 'en-US';
}

/** The words of `key` in the language in use, with each `{name}` replaced by `params[name]`. */
export function t(key: WordKey, params: Record<string, string | number> = {}): string {
  const word: Word = words[key];
  return word[current].replaceAll(/\{(\w+)\}/g, (whole, name: string) => String(params[name] ?? whole));
}

/** The English words of `key`, in which the facts are written. */
export function english(key: WordKey): string {
  return words[key].en;
}

/** `key` when the catalogue has it, for codes that come over the wire; else null. */
export function wordKey(key: string): WordKey | null {
  return key in words ? (key as WordKey) : null;
}
