import type { Fact, Recorded } from '../core/facts/fact.ts';
import type { Tx } from '../store/database.ts';
import { factsById } from '../store/facts/facts-by-id.ts';

/** Which units and places a batch of new facts must be folded anew for, voids followed to what they answer. */
export interface Touched {
  /** New facts and what voids among them answer: everything whose counting may have changed. */
  facts: Fact[];
  /** Ids of facts that a void answers. */
  voided: Set<string>;
}

const FARTHEST = 32;

/** Follows the voids among `fresh` down to the facts at the end of their chains. */
export async function touchedBy(tx: Tx, plant: string, fresh: readonly Recorded[], crossing: readonly Recorded[]): Promise<Touched> {
  const voided = new Set<string>();
  for (const fact of crossing) if (fact.kind === 'void') voided.add(fact.fact);
  const facts: Fact[] = [...fresh];
  const seen = new Set(fresh.map((fact) => fact.id));
  let targets = fresh.flatMap((fact) => (fact.kind === 'void' ? [fact.fact] : []));
  for (let depth = 0; targets.length > 0 && depth < FARTHEST; depth++) {
    for (const id of targets) voided.add(id);
    const unseen = targets.filter((id) => !seen.has(id));
    for (const id of unseen) seen.add(id);
    const found = [...(await factsById(tx, plant, unseen)).values()];
    facts.push(...found);
    targets = found.flatMap((fact) => (fact.kind === 'void' ? [fact.fact] : []));
  }
  return { facts, voided };
}

/** Every serial tied to one of `units` by what was ever identified, the units themselves among them. */
export function tiedUnits(units: Iterable<string>, crossing: readonly Fact[]): Set<string> {
  const ties = new Map<string, string[]>();
  for (const fact of crossing) {
    if (fact.kind !== 'identify') continue;
    ties.set(fact.unit, [...(ties.get(fact.unit) ?? []), fact.scanned]);
    ties.set(fact.scanned, [...(ties.get(fact.scanned) ?? []), fact.unit]);
  }
  const tied = new Set<string>();
  const open = [...units];
  for (let unit = open.pop(); unit !== undefined; unit = open.pop()) {
    if (tied.has(unit)) continue;
    tied.add(unit);
    open.push(...(ties.get(unit) ?? []));
  }
  return tied;
}
