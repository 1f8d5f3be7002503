import { isDeepStrictEqual } from 'node:util';
import { errorReply, StationhandError } from '../contract/errors.ts';
import type { FactReply } from '../contract/replies.ts';
import type { Fact, Recorded } from '../core/facts/fact.ts';
import type { SetupVersion } from '../core/setup/plant.ts';
import type { Instant } from '../core/units.ts';
import type { Db, Tx } from '../store/database.ts';
import { flagCodesOf } from '../store/derived/flags.ts';
import { factsById } from '../store/facts/facts-by-id.ts';
import { insertFacts } from '../store/facts/insert-facts.ts';
import { advancePlant } from '../store/setup/advance-plant.ts';
import { loadSetups } from '../store/setup/load-setups.ts';
import { lockPlant } from '../store/setup/lock-plant.ts';
import { foldBatch } from './fold-batch.ts';

/** Set-up versions by plant as last read: read again only when the plant's row names a newer one. */
export type SetupCache = Map<string, { version: number; setups: SetupVersion[] }>;

export interface RecordedBatch {
  /** One reply for each fact, in their order. */
  replies: FactReply[];
  version: number;
}

/**
 * Records `facts` of one plant in one transaction, under the plant's lock: appends those that the log does not have, folds what they touch,
 * tells the other servers. A fact twice in the batch is recorded once. Throws `unknownPlant`, or what the database throws: then nothing is recorded.
 */
export async function recordBatch(db: Db, cache: SetupCache, plant: string, facts: readonly Fact[], now: Instant): Promise<RecordedBatch> {
  return db.transaction().execute(async (tx) => {
    const locked = await lockPlant(tx, plant);
    if (!locked) throw new StationhandError('unknownPlant', { what: `There is no plant ${plant}.` });
    const setups = await setupsOf(tx, cache, plant, locked.setupVersion);
    const known = await factsById(tx, plant, facts.map((fact) => fact.id));
    const fresh = new Map<string, Recorded>();
    for (const fact of facts) {
      if (!known.has(fact.id) && !fresh.has(fact.id)) fresh.set(fact.id, { ...fact, recorded: now, seq: locked.nextSeq + fresh.size });
    }
    const added = [...fresh.values()];
    if (added.length > 0) {
      await insertFacts(tx, plant, added);
      await foldBatch(tx, plant, added, setups);
      await advancePlant(tx, plant, locked.nextSeq + added.length);
    }
    const codes = await flagCodesOf(tx, plant, facts.map((fact) => fact.id));
    const told = new Set<string>();
    const replies = facts.map((fact): FactReply => {
      const kept = known.get(fact.id) ?? fresh.get(fact.id)!;
      if (!isSame(kept, fact)) return { id: fact.id, outcome: 'refused', flags: [], why: errorReply('factIdTaken') };
      const flags = codes.get(fact.id) ?? [];
      const repeated = known.has(fact.id) || told.has(fact.id);
      told.add(fact.id);
      return { id: fact.id, outcome: repeated ? 'repeated' : flags.length > 0 ? 'flagged' : 'recorded', flags };
    });
    return { replies, version: locked.nextSeq + added.length - 1 };
  });
}

function isSame({ recorded: _recorded, seq: _seq, ...kept }: Recorded, fact: Fact): boolean {
  return isDeepStrictEqual(kept, fact);
}

export async function setupsOf(tx: Tx, cache: SetupCache, plant: string, version: number): Promise<SetupVersion[]> {
  const cached = cache.get(plant);
  if (cached && cached.version === version) return cached.setups;
  const setups = await loadSetups(tx, plant);
  cache.set(plant, { version, setups });
  return setups;
}
