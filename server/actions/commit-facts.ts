import type { Fact } from '../core/facts/fact.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { appendScans, readStanding, type Standing } from './append-scans.ts';
import { recordBatch, type RecordedBatch, type SetupCache } from './record-batch.ts';

/** Records facts of a plant in one transaction, one call at a time per plant: plain scans by the quick way, all others under the plant's lock. */
export function createCommit(db: Db, now: () => Instant): (plant: string, facts: readonly Fact[]) => Promise<RecordedBatch> {
  const cache: SetupCache = new Map();
  const standings = new Map<string, Standing>();

  const quickly = async (plant: string, facts: readonly Fact[]): Promise<RecordedBatch | null> => {
    const standing = standings.get(plant) ?? (await readStanding(db, plant));
    standings.delete(plant);
    const batch = standing && (await appendScans(db, standing, plant, facts, now()));
    // What an append could not be held against is read anew.
    if (standing && batch) standings.set(plant, standing);
    return batch;
  };
  return async (plant, facts) => (await quickly(plant, facts)) ?? recordBatch(db, cache, plant, facts, now());
}
