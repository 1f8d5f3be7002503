import type { Fact } from './fact.ts';
import type { Flag } from './flag.ts';

/** A flag for each void whose fact is not among `facts`, the whole log. It goes when that fact comes: a void may reach the server first (definitions §2). */
export function unknownVoids(facts: readonly Fact[]): Flag[] {
  const known = new Set(facts.map((fact) => fact.id));
  const flagged = new Map<string, Flag>();
  for (const fact of facts) {
    if (fact.kind === 'void' && !known.has(fact.fact)) flagged.set(fact.id, { fact: fact.id, code: 'unknownTarget', unit: null, station: null, detail: fact.fact });
  }
  return [...flagged.values()].sort((a, b) => (a.fact < b.fact ? -1 : 1));
}
