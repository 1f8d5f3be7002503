import type { Recorded } from '../core/facts/fact.ts';
import type { Flag } from '../core/facts/flag.ts';
import { identifiedAs } from '../core/facts/identified-as.ts';
import { foldUnits } from '../core/facts/line-history-of.ts';
import { effectiveFacts } from '../core/facts/voids.ts';
import type { SetupVersion } from '../core/setup/plant.ts';
import type { Stay } from '../core/timeline/line-history.ts';
import type { Tx } from '../store/database.ts';
import { deleteFlagsOfUnits, insertFlags } from '../store/derived/flags.ts';
import { deleteStays, saveStays } from '../store/derived/stays.ts';
import { deleteWhereabouts, saveWhereabouts, type Whereabouts } from '../store/derived/whereabouts.ts';
import { factsOfUnits } from '../store/facts/facts-of-units.ts';
import { recordingFlags } from './recording-flags.ts';

export interface RefoldedUnits {
  whereabouts: Whereabouts[];
  stays: Stay[];
  flags: Flag[];
}

/** Whereabouts, stays and flags of every unit that `facts` name: a function of the set of facts and the set-up. */
export function refoldAll(facts: readonly Recorded[], setups: readonly SetupVersion[]): RefoldedUnits {
  const recorded = new Map(facts.map((fact) => [fact.id, fact]));
  const counting = effectiveFacts(facts);
  const identified = identifiedAs(counting);
  const last = new Map<string, Whereabouts['last']>();
  const refolded: RefoldedUnits = { whereabouts: [], stays: [], flags: [] };
  for (const fact of counting) {
    if (!('unit' in fact)) continue;
    const unit = identified.get(fact.unit) ?? fact.unit;
    last.set(unit, { happened: fact.happened, counter: fact.counter, device: fact.device, id: fact.id });
    refolded.flags.push(...recordingFlags(recorded.get(fact.id)!, unit));
  }
  for (const [unit, { state, history, flags }] of foldUnits(facts, setups)) {
    refolded.whereabouts.push({ state, last: last.get(unit)! });
    refolded.stays.push(...history.stays);
    refolded.flags.push(...flags);
  }
  return refolded;
}

/**
 * Folds `units` anew from all their facts, for a fact that came late, was voided or told which unit another is. `units` must hold
 * both ends of every identification that concerns one of them.
 */
export async function refoldUnits(tx: Tx, plant: string, units: readonly string[], setups: readonly SetupVersion[]): Promise<void> {
  if (units.length === 0) return;
  const refolded = refoldAll(await factsOfUnits(tx, plant, units), setups);
  await deleteWhereabouts(tx, plant, units);
  await deleteStays(tx, plant, units);
  await deleteFlagsOfUnits(tx, plant, units);
  await saveRefolded(tx, plant, refolded);
}

export async function saveRefolded(tx: Tx, plant: string, { whereabouts, stays, flags }: RefoldedUnits): Promise<void> {
  await saveWhereabouts(tx, plant, whereabouts);
  await saveStays(tx, plant, stays);
  await insertFlags(tx, plant, flags);
}
