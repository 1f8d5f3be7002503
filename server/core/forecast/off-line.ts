import { quantile } from '../rates/quantiles.ts';
import type { ComingUnit } from '../delay/line-state.ts';
import type { Minutes } from '../units.ts';
import type { RecentVisit } from './draws-from-history.ts';
import type { ForecastUnit } from './forecast-input.ts';

/**
 * The order of coming with units that are off the line put behind those that pass them (definitions §5: a unit off the line comes back behind those that passed
 * it): those that at standard come to its next station before the median of what is left of its being off.
 */
export function behindThosePassing(units: readonly ForecastUnit[], offLineLeft: ReadonlyMap<string, ArrayLike<Minutes>>): ForecastUnit[] {
  const order = [...units];
  for (const unit of units) {
    const left = offLineLeft.get(unit.unit);
    const next = unit.route[unit.reached + 1]?.station;
    if (!left || next === undefined) continue;
    const back = quantile(Array.from(left), 0.5);
    const own = order.indexOf(unit);
    const last = order.findLastIndex((other, i) => i > own && !offLineLeft.has(other.unit) && minutesTo(other, next) < back);
    if (last < 0) continue;
    order.splice(own, 1);
    order.splice(last, 0, unit);
  }
  return order;
}

/** At standard, nobody in its way; Infinity for a unit that does not come there. */
function minutesTo({ route, reached, here, worked, plannedRelease, stage }: ForecastUnit, station: string): Minutes {
  const to = route.findIndex((step) => step.station === station);
  if (stage !== null || to <= reached) return Number.POSITIVE_INFINITY;
  const from = Math.max(0, here ? reached : reached + 1);
  const done = here ? (worked ?? route[reached]!.standard) : 0;
  return route.slice(from, to).reduce((sum, { standard }) => sum + standard, 0) - done + (reached < 0 ? (plannedRelease ?? 0) : 0);
}

/** Probability that a unit with so many visits to come is pulled off in one of them, from how often recent visits ended so. */
export function pulledOffChance(visits: readonly RecentVisit[], stationsLeft: number): number {
  const ended = visits.filter(({ notScanned }) => !notScanned);
  const rate = ended.length === 0 ? 0 : ended.filter(({ leftHow }) => leftHow === 'pulledOff').length / ended.length;
  return 1 - (1 - rate) ** stationsLeft;
}

/** Visits that the unit still has before it, the one it is in among them. */
export function stationsLeft({ route, reached, here }: Pick<ComingUnit, 'route' | 'reached' | 'here'> | ForecastUnit): number {
  return route.length - (here ? reached : reached + 1);
}
