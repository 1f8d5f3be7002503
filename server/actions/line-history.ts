import type { LineHistory, Stay, UnitHistory } from '../core/timeline/line-history.ts';
import type { Instant } from '../core/units.ts';
import type { PlantMemory } from './plant-memory.ts';

/**
 * What the minutes of `line` over [from, to] are a function of: units still to come to it, and those with a stay there that
 * reaches into the period, or into a stay that does. Units that left before make no difference to it.
 */
export function lineHistoryBetween(memory: PlantMemory, line: string, from: Instant, to: Instant): LineHistory {
  const reaching = (since: Instant) => (stay: Stay): boolean => stay.line === line && stay.arrived <= to && (stay.left ?? Number.POSITIVE_INFINITY) >= since;
  let since = from;
  for (const { history } of memory.units.values()) {
    for (const stay of history.stays) if (reaching(from)(stay)) since = Math.min(since, stay.arrived);
  }
  const units: UnitHistory[] = [];
  for (const { state, history } of memory.units.values()) {
    const comes = state.known && state.shipped === null && state.cancelled === null;
    if (comes || history.stays.some(reaching(since))) units.push(history);
  }
  return { line, setups: memory.setups, units, stops: memory.places.stops, floorTime: memory.places.floorTime };
}

const RECENT_MS = 3 * 86_400_000;

/** The history of `line` that its open visits and its projection at `at` need: three days, or back to the oldest unit standing there. */
export function lineHistoryNow(memory: PlantMemory, line: string, at: Instant): LineHistory {
  let from = at - RECENT_MS;
  for (const { history } of memory.units.values()) {
    for (const stay of history.stays) if (stay.line === line && stay.left === null) from = Math.min(from, stay.arrived);
  }
  return lineHistoryBetween(memory, line, from, at);
}
