import { paretoOrder, type ParetoRow } from '../rates/pareto.ts';
import type { Minutes } from '../units.ts';
import type { DelayCause } from './line-delay.ts';
import type { DeviationKind } from './deviation.ts';

/** What pushed the line's end, put together where kind, reason and station are the same. */
export interface OrderedCause {
  kind: DeviationKind;
  /** Why, as the floor said it; '' for what has no reason. */
  reason: string;
  station: string | null;
  /** Units it happened to, in the order of its beginning; of a stop that touched several, none. */
  units: string[];
  times: number;
  /** Minutes of the line's delay. */
  amount: Minutes;
  /** Minutes it took where it happened. */
  localMinutes: Minutes;
  label: string;
}

export interface CausesInOrder {
  /** Those that pushed the line's end, largest first. Shares are of `pushedMinutes`. */
  pushed: ParetoRow<OrderedCause>[];
  pushedMinutes: Minutes;
  /** Minutes that others brought back, 0 or negative. Pushed and recovered add up to the line delay. */
  recoveredMinutes: Minutes;
}

/** Causes smaller than this are rounding of milliseconds. */
const HAIR: Minutes = 1e-9;

/** The causes of a line delay in Pareto order. A cause that cost the line nothing is left out: a station's slack took it. */
export function causesInOrder(causes: readonly DelayCause[], reasonOf: (cause: DelayCause) => string): CausesInOrder {
  const groups = new Map<string, OrderedCause>();
  for (const cause of causes) {
    const { kind, station, unit } = cause;
    const reason = reasonOf(cause);
    const label = JSON.stringify([kind, reason, station]);
    const group = groups.get(label) ?? { kind, reason, station, units: [], times: 0, amount: 0, localMinutes: 0, label };
    groups.set(label, group);
    // What cost the line nothing is no cause of its delay: neither it nor its unit is named.
    if (Math.abs(cause.lineMinutes) <= HAIR) continue;
    group.times++;
    group.amount += cause.lineMinutes;
    group.localMinutes += cause.localMinutes;
    if (unit !== null && !group.units.includes(unit)) group.units.push(unit);
  }
  const told = [...groups.values()];
  const pushed = told.filter(({ amount }) => amount > HAIR);
  const sum = (of: readonly OrderedCause[]): Minutes => of.reduce((total, { amount }) => total + amount, 0);
  return { pushed: paretoOrder(pushed), pushedMinutes: sum(pushed), recoveredMinutes: sum(told.filter(({ amount }) => amount <= HAIR)) };
}
