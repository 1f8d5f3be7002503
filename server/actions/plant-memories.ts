import { StationhandError } from '../contract/errors.ts';
import type { Db } from '../store/database.ts';
import { factsAfter } from '../store/facts/facts-after.ts';
import { loadSetups } from '../store/setup/load-setups.ts';
import { readPlant } from '../store/setup/read-plant.ts';
import { PlantMemory } from './plant-memory.ts';

export interface PlantMemories {
  /** The plant's memory, brought up to the log as it is now. Throws `unknownPlant`. */
  upToDate(plant: string): Promise<PlantMemory>;
}

const FACTS_A_READ = 5_000;

/** Memories of the plants of the database, each read when it is first asked for and brought up by the numbers after. */
export function createPlantMemories(db: Db): PlantMemories {
  const memories = new Map<string, PlantMemory>();
  const reading = new Map<string, Promise<PlantMemory>>();

  const bringUp = async (plant: string): Promise<PlantMemory> => {
    const now = await readPlant(db, plant);
    if (!now || now.setupVersion === 0) throw new StationhandError('unknownPlant', { what: `There is no plant ${plant}.` });
    const memory = memories.get(plant) ?? new PlantMemory(plant);
    if (memory.setupVersion !== now.setupVersion) memory.setUp(await loadSetups(db, plant), now.setupVersion);
    for (let after = memory.version; after < now.version;) {
      const facts = await factsAfter(db, plant, after, now.version, FACTS_A_READ);
      // Loading a set-up takes a number too, so the last one need not be a fact's.
      after = facts.length < FACTS_A_READ ? now.version : facts.at(-1)!.seq;
      memory.add(facts, after);
    }
    memories.set(plant, memory);
    return memory;
  };

  return {
    // Who asks while the log is being read waits for the next reading: it may have recorded something after this one began.
    async upToDate(plant) {
      const before = reading.get(plant);
      if (before) await before.catch(() => {});
      const other = reading.get(plant);
      if (other && other !== before) return other;
      const own = bringUp(plant).finally(() => {
        if (reading.get(plant) === own) reading.delete(plant);
      });
      reading.set(plant, own);
      return own;
    },
  };
}
