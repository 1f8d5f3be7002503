import type { Recorded } from '../core/facts/fact.ts';
import type { Db, Tx } from '../store/database.ts';
import { clearDerived } from '../store/derived/clear-derived.ts';
import { dumpDerived } from '../store/derived/dump-derived.ts';
import { insertFlags } from '../store/derived/flags.ts';
import { replaceStops } from '../store/derived/stops.ts';
import { factsAfter } from '../store/facts/facts-after.ts';
import { loadSetups } from '../store/setup/load-setups.ts';
import { lockPlant } from '../store/setup/lock-plant.ts';
import { refoldAllPlaces } from './refold-places.ts';
import { refoldAll, saveRefolded } from './refold-units.ts';

export interface Rebuilt {
  facts: number;
  rows: number;
  /** Whether the tables came out as they were. */
  identical: boolean;
}

const EVERYTHING = Number.MAX_SAFE_INTEGER;

/** Rebuilds everything derived of the plant from its facts, under the plant's lock: scans wait meanwhile, and none is lost. */
export async function rebuildDerived(db: Db, plant: string): Promise<Rebuilt> {
  return db.transaction().execute(async (tx) => {
    await lockPlant(tx, plant);
    const before = await dumpDerived(tx, plant);
    const facts = await deriveAll(tx, plant);
    const after = await dumpDerived(tx, plant);
    return { facts, rows: after.length, identical: before.length === after.length && before.every((row, i) => row === after[i]) };
  });
}

/** Throws away and derives anew all of the plant's tables, in a transaction that holds the plant's lock. Returns how many facts there are. */
export async function deriveAll(tx: Tx, plant: string): Promise<number> {
  const setups = await loadSetups(tx, plant);
  const facts: Recorded[] = await factsAfter(tx, plant, 0, EVERYTHING, EVERYTHING);
  await clearDerived(tx, plant);
  await saveRefolded(tx, plant, refoldAll(facts, setups));
  const { stops, flags } = refoldAllPlaces(facts, setups);
  await replaceStops(tx, plant, [], stops);
  await insertFlags(tx, plant, flags);
  return facts.length;
}
