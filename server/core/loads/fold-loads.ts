import type { CallCarrier, Fact, PlanLoad } from '../facts/fact.ts';
import { effectiveFacts } from '../facts/voids.ts';
import type { Instant } from '../units.ts';

/** What was said of the load of one truck. Which units go with it, the units say (`UnitState.load`). */
export interface LoadState {
  load: string;
  carrier: string;
  /** When the truck is to come; null where nobody has said. */
  pickUp: Instant | null;
  note: string;
  /** When the carrier was called, by whom, and what was said; null while nobody has called the one planned last. */
  called: { at: Instant; who: string; note: string } | null;
}

export function isLoadFact(fact: Fact): fact is PlanLoad | CallCarrier {
  return fact.kind === 'planLoad' || fact.kind === 'callCarrier';
}

/** The loads that the facts speak of, by name. A function of the set. Another carrier has not been called yet. */
export function foldLoads(facts: readonly Fact[]): LoadState[] {
  const loads = new Map<string, LoadState>();
  for (const fact of effectiveFacts(facts)) {
    if (!isLoadFact(fact)) continue;
    const before = loads.get(fact.load) ?? { load: fact.load, carrier: '', pickUp: null, note: '', called: null };
    if (fact.kind === 'callCarrier') loads.set(fact.load, { ...before, called: { at: fact.happened, who: fact.who, note: fact.note } });
    else loads.set(fact.load, { load: fact.load, carrier: fact.carrier, pickUp: fact.pickUp, note: fact.note, called: fact.carrier === before.carrier ? before.called : null });
  }
  return [...loads.values()].sort((a, b) => (a.load < b.load ? -1 : 1));
}
