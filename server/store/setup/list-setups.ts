import type { SetupVersion } from '../../core/setup/plant.ts';
import type { Db } from '../database.ts';

/** A version of the set-up with who loaded it, from which device, and when. */
export interface LoadedSetup extends SetupVersion {
  who: string;
  device: string;
  loadedAt: number;
}

/** Every version of the plant's set-up with who loaded it, by version. */
export async function listSetups(db: Db, plant: string): Promise<LoadedSetup[]> {
  const rows = await db.selectFrom('setup_versions').where('plant', '=', plant).select(['version', 'valid_from', 'document', 'loaded_at', 'who', 'device']).orderBy('version').execute();
  return rows.map((row) => ({ version: row.version, validFrom: row.valid_from, plant: row.document, who: row.who, device: row.device, loadedAt: row.loaded_at }));
}
