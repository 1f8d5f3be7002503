import type { Instant } from '../units.ts';
import type { LineHistory, Stay } from './line-history.ts';

/**
 * The part of `history` that the minutes of its line over [from, to] are a function of: units still to come, and those with a stay there
 * that reaches into the period or into a stay that does. Gives the same figures as the whole, sooner.
 */
export function historyBetween(history: LineHistory, from: Instant, to: Instant): LineHistory {
  const reaches = (since: Instant) => (stay: Stay): boolean => stay.line === history.line && stay.arrived <= to && (stay.left ?? Number.POSITIVE_INFINITY) >= since;
  let since = from;
  for (const { stays } of history.units) for (const stay of stays) if (reaches(from)(stay)) since = Math.min(since, stay.arrived);
  return { ...history, units: history.units.filter((unit) => unit.gone === null || unit.stays.some(reaches(since))) };
}
