import type { SetupVersion } from '../../core/setup/plant.ts';
import type { Db } from '../database.ts';

/** Every version of the plant's set-up, by version. */
export async function loadSetups(db: Db, plant: string): Promise<SetupVersion[]> {
  const rows = await db.selectFrom('setup_versions').where('plant', '=', plant).select(['version', 'valid_from', 'document']).orderBy('version').execute();
  return rows.map((row) => ({ version: row.version, validFrom: row.valid_from, plant: row.document }));
}
