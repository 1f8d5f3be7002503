import type { CheckState } from '../facts/quality-state.ts';
import type { ItemResult } from '../facts/quality-facts.ts';
import { type Check, type CheckItem, isFor } from '../setup/quality.ts';
import type { Plant, SetupVersion } from '../setup/plant.ts';
import type { Instant } from '../units.ts';

/** `notJudged`: a reading whose limits nobody confirmed, and no person judged it either. */
export type ItemOutcome = 'passed' | 'failed' | 'notDone' | 'notJudged';
/** `incomplete`: nothing failed, but not every item passed. */
export type CheckOutcome = 'passed' | 'failed' | 'incomplete';
/** Where a unit stands with a check that it needs. */
export type CheckStanding = 'passed' | 'failed' | 'missing' | 'dueAgain' | 'tooOld';

const MS_PER_HOUR = 3_600_000;

/**
 * What one item's result says. A reading is held against limits only where they are confirmed; else the person's word counts, and where
 * limits are confirmed it does not.
 */
export function judgeItem(item: CheckItem, result: ItemResult | undefined): ItemOutcome {
  if (result === undefined || (item.wantsPhoto === true && result.photo === undefined)) return 'notDone';
  if (item.kind === 'yesNo') return typeof result.value === 'boolean' ? said(result.value) : 'notDone';
  if (item.kind === 'choice') {
    const choice = item.choices.find(({ text }) => text === result.value);
    return choice ? said(choice.passes) : 'notDone';
  }
  if (typeof result.value !== 'number' || !Number.isFinite(result.value)) return 'notDone';
  const unlimited = item.low === null && item.high === null;
  if (item.confirmed === null || unlimited) return result.judged === null ? 'notJudged' : said(result.judged);
  return said((item.low === null || result.value >= item.low) && (item.high === null || result.value <= item.high));
}

const said = (passes: boolean): ItemOutcome => (passes ? 'passed' : 'failed');

/** What an attempt at `check` says: failed when an item failed, passed when every one passed. Of two results for an item the last counts. */
export function judgeCheck(check: Check, results: readonly ItemResult[]): { outcome: CheckOutcome; items: { item: CheckItem; outcome: ItemOutcome }[] } {
  const byItem = new Map(results.map((result) => [result.item, result]));
  const items = check.items.map((item) => ({ item, outcome: judgeItem(item, byItem.get(item.code)) }));
  if (items.some(({ outcome }) => outcome === 'failed')) return { outcome: 'failed', items };
  return { outcome: items.every(({ outcome }) => outcome === 'passed') ? 'passed' : 'incomplete', items };
}

/** By what the readings of a check are judged: the edition against which each limit was confirmed, null where nobody did and a person judges. */
export interface LimitJudge {
  item: string;
  edition: string | null;
}

export function limitJudges(check: Check): LimitJudge[] {
  return check.items.flatMap((item) => (item.kind === 'measured' && (item.low !== null || item.high !== null) ? [{ item: item.code, edition: item.confirmed?.edition ?? null }] : []));
}

/** Items of the check whose limits are confirmed by another edition now than when the result was judged, or were not confirmed then. */
export function judgedOtherwise(check: Check, judged: readonly LimitJudge[]): CheckItem[] {
  const then = new Map(judged.map(({ item, edition }) => [item, edition]));
  const changed = new Set(limitJudges(check).filter(({ item, edition }) => then.has(item) && then.get(item) !== edition).map(({ item }) => item));
  return check.items.filter(({ code }) => changed.has(code));
}

/** The checks that a unit of `model` with `options` needs, in the order of the set-up. */
export function checksFor(plant: Plant, model: string | null, options: readonly string[]): Check[] {
  return (plant.checks ?? []).filter((check) => isFor(check, model, options));
}

/** Where the unit stands with a check that it needs, as of `at`, an instant that the age of a pass is told at. */
export function checkStanding(check: Check, state: CheckState | undefined, at: Instant): CheckStanding {
  if (state === undefined || state.attempts === 0) return 'missing';
  if (state.passedAt === null) return 'failed';
  if (state.dueAgain !== null) return 'dueAgain';
  if (check.maxAgeHours !== null && at - state.passedAt > check.maxAgeHours * MS_PER_HOUR) return 'tooOld';
  return 'passed';
}

/** The check in a version: that of the set-up in force before any other. `old` when another version is in force, or none. */
export function checkVersion(inForce: Plant | null, setups: readonly SetupVersion[], code: string, version: number): { check: Check; old: boolean } | null {
  const is = (check: Check): boolean => check.code === code && check.version === version;
  const now = inForce?.checks?.find(is);
  if (now) return { check: now, old: false };
  for (const { plant } of setups.toReversed()) {
    const check = plant.checks?.find(is);
    if (check) return { check, old: true };
  }
  return null;
}
