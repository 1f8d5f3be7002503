import type { ItemResult } from '../../server/core/facts/quality-facts.ts';
import { judgeItem } from '../../server/core/gates/check.ts';
import type { Check, CheckItem } from '../../server/core/setup/quality.ts';

/** What was answered so far of an attempt at a check, item by item. */
export type Attempt = Record<string, ItemResult>;

const keyOf = (plant: string, unit: string, { code, version }: Check): string => `stationhand-attempt ${JSON.stringify([plant, unit, code, version])}`;

/** The attempt as this device keeps it until it is stated: a page that is left loses no answer. */
export function keptAttempt(plant: string, unit: string, check: Check): Attempt {
  try {
    return JSON.parse(localStorage.getItem(keyOf(plant, unit, check)) ?? '{}') as Attempt;
  } catch {
    return {};
  }
}

export function keepAttempt(plant: string, unit: string, check: Check, attempt: Attempt): void {
  if (Object.keys(attempt).length === 0) localStorage.removeItem(keyOf(plant, unit, check));
  else localStorage.setItem(keyOf(plant, unit, check), JSON.stringify(attempt));
}

/** The answer to an item with `more` said of it. A reading that changes is judged anew. */
export function answered(item: CheckItem, before: ItemResult | undefined, more: Partial<ItemResult>): ItemResult {
  const empty: ItemResult = { item: item.code, value: '', judged: null };
  const other = 'value' in more && more.value !== before?.value && !('judged' in more) ? { judged: null } : {};
  return { ...empty, ...before, ...more, ...other };
}

/** Items whose answer says nothing yet, and whether one failed. */
export function standOf(check: Check, attempt: Attempt): { left: CheckItem[]; failed: boolean } {
  const told = check.items.map((item) => ({ item, outcome: judgeItem(item, attempt[item.code]) }));
  return { left: told.filter(({ outcome }) => outcome === 'notDone' || outcome === 'notJudged').map(({ item }) => item), failed: told.some(({ outcome }) => outcome === 'failed') };
}

/** What is stated: the answers in the order of the check, nothing said of what nobody answered. */
export function resultsOf(check: Check, attempt: Attempt): ItemResult[] {
  return check.items.flatMap(({ code }) => {
    const result = attempt[code];
    if (!result || result.value === '') return [];
    const { note, ...rest } = result;
    return [note ? { ...rest, note } : rest];
  });
}
