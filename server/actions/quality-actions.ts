import type { Identity } from '../contract/identity.ts';
import type { SetupReply } from '../contract/replies.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { confirmLimits } from './confirm-limits.ts';
import { createPhotos, type Photos } from './photos.ts';
import type { PlantMemory } from './plant-memory.ts';

/** What quality asks and commands, besides the facts of the floor. */
export interface QualityActions {
  photos: Photos;
  /** The limits of a check's item are right by `edition` of the code in force: a set-up of their own from now on. */
  confirmLimits(plant: string, check: string, item: string, edition: unknown, by: Identity): Promise<SetupReply>;
}

export interface QualityParts {
  db: Db;
  now(): Instant;
  /** Throws `unknownPlant`. */
  memory(plant: string): Promise<PlantMemory>;
  /** The plant changed otherwise than by a fact. */
  changed(plant: string): void;
}

export function createQuality({ db, now, memory, changed }: QualityParts): QualityActions {
  return {
    photos: createPhotos(db, now, memory),
    async confirmLimits(plant, check, item, edition, by) {
      const reply = await confirmLimits(db, await memory(plant), { check, item, edition }, by, now());
      changed(plant);
      return reply;
    },
  };
}
