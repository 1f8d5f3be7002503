import { StationhandError } from '../contract/errors.ts';
import type { Recorded } from '../core/facts/fact.ts';
import { unknownVoids } from '../core/facts/unknown-voids.ts';
import type { Db, Tx } from '../store/database.ts';
import { clearDerived } from '../store/derived/clear-derived.ts';
import { dumpDerived } from '../store/derived/dump-derived.ts';
import { lockMinutes, minutesToldTo, setMinutesTold } from '../store/derived/minutes-told.ts';
import { insertFlags } from '../store/derived/flags.ts';
import { replaceStops } from '../store/derived/stops.ts';
import { factsAfter } from '../store/facts/facts-after.ts';
import { loadSetups } from '../store/setup/load-setups.ts';
import { lockPlant } from '../store/setup/lock-plant.ts';
import { plantsDerivedBefore, setDerivedVersion } from '../store/setup/derived-version.ts';
import { PlantMemory } from './plant-memory.ts';
import { tellMinutesFrom } from './tell-minutes.ts';
import { refoldAllPlaces } from './refold-places.ts';
import { refoldAll, saveRefolded } from './refold-units.ts';

export interface Rebuilt {
  facts: number;
  rows: number;
  /** Whether the tables came out as they were. */
  identical: boolean;
}

/** Goes up when more is derived from the facts, or otherwise: a database of before is derived anew at the next start. */
export const DERIVED_VERSION = 9;
const EVERYTHING = Number.MAX_SAFE_INTEGER;

/** Rebuilds everything derived of the plant from its facts, under the plant's lock: scans wait meanwhile, and none is lost. */
export async function rebuildDerived(db: Db, plant: string): Promise<Rebuilt> {
  return db.transaction().execute(async (tx) => {
    const locked = await lockPlant(tx, plant);
    if (!locked) throw new StationhandError('unknownPlant', { what: `There is no plant ${plant}.` });
    await lockMinutes(tx, plant);
    const memory = await readMemory(tx, plant, locked);
    // Minutes are told a moment after their facts: what is compared must be told as far as the log goes.
    const told = await minutesToldTo(tx, plant);
    const from = told === 0 ? 0 : memory.minutesFrom(await factsAfter(tx, plant, told, memory.version, EVERYTHING));
    if (from !== null) await tellMinutesFrom(tx, memory, from);
    const before = await dumpDerived(tx, plant);
    const facts = await deriveAll(tx, plant);
    await tellMinutesFrom(tx, memory, 0);
    await setMinutesTold(tx, plant, memory.version);
    const after = await dumpDerived(tx, plant);
    return { facts, rows: after.length, identical: before.length === after.length && before.every((row, i) => row === after[i]) };
  });
}

async function readMemory(tx: Tx, plant: string, locked: { nextSeq: number; setupVersion: number }): Promise<PlantMemory> {
  const memory = new PlantMemory(plant);
  memory.setUp(await loadSetups(tx, plant), locked.setupVersion);
  memory.add(await factsAfter(tx, plant, 0, EVERYTHING, EVERYTHING), locked.nextSeq - 1);
  return memory;
}

/** Throws away and derives anew all of the plant's tables but the minutes of visits, which are told anew from the start after it, in a transaction that holds the plant's lock. Returns how many facts there are. */
export async function deriveAll(tx: Tx, plant: string): Promise<number> {
  const setups = await loadSetups(tx, plant);
  const facts: Recorded[] = await factsAfter(tx, plant, 0, EVERYTHING, EVERYTHING);
  await clearDerived(tx, plant);
  await saveRefolded(tx, plant, refoldAll(facts, setups));
  const { stops, flags } = refoldAllPlaces(facts, setups);
  await replaceStops(tx, plant, [], stops);
  await insertFlags(tx, plant, [...flags, ...unknownVoids(facts)]);
  await setMinutesTold(tx, plant, 0);
  await setDerivedVersion(tx, plant, DERIVED_VERSION);
  return facts.length;
}

/** Derives anew what a program of an earlier form derived, plant by plant, under each plant's lock. */
export async function deriveWhatIsOld(db: Db, log: (message: string) => void): Promise<void> {
  for (const plant of await plantsDerivedBefore(db, DERIVED_VERSION)) {
    await db.transaction().execute(async (tx) => {
      await lockPlant(tx, plant);
      if (!(await plantsDerivedBefore(tx, DERIVED_VERSION)).includes(plant)) return;
      log(`what is derived of ${plant} is derived anew, for this program derives more of it`);
      await deriveAll(tx, plant);
    });
  }
}
