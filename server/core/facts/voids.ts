import type { Fact, Void } from './fact.ts';
import { compareFacts } from './order.ts';

/**
 * The facts that count, in order, each once: what a void answers is left out, and so are the voids. Voiding a void brings the fact
 * back (definitions §2). Where voids answer each other in a circle, the last in order counts.
 */
export function effectiveFacts(facts: readonly Fact[]): Exclude<Fact, Void>[] {
  const byId = new Map(facts.map((fact) => [fact.id, fact]));
  const sorted = [...byId.values()].sort(compareFacts);
  const voidsOf = new Map<string, Void[]>();
  for (const fact of sorted) {
    if (fact.kind !== 'void') continue;
    const others = voidsOf.get(fact.fact);
    if (others) others.push(fact);
    else voidsOf.set(fact.fact, [fact]);
  }
  if (voidsOf.size === 0) return sorted as Exclude<Fact, Void>[];
  const counts = new Map<string, boolean>();
  const countsNow = (id: string): boolean => {
    const known = counts.get(id);
    if (known !== undefined) return known;
    counts.set(id, true);
    const result = !(voidsOf.get(id) ?? []).some((own) => countsNow(own.id));
    counts.set(id, result);
    return result;
  };
  // From the last to the first, so that a circle is entered at its last void whatever order the facts came in.
  for (const fact of [...sorted].reverse()) countsNow(fact.id);
  return sorted.filter((fact): fact is Exclude<Fact, Void> => fact.kind !== 'void' && countsNow(fact.id));
}
