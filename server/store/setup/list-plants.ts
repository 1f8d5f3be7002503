import type { Db } from '../database.ts';

/** Every plant of the database with its set-up in force last loaded, by code. */
export async function listPlants(db: Db): Promise<{ code: string; name: string; setupVersion: number }[]> {
  const rows = await db.selectFrom('plants').where('setup_version', '>', 0).select(['code', 'name', 'setup_version']).orderBy('code').execute();
  return rows.map((row) => ({ code: row.code, name: row.name, setupVersion: row.setup_version }));
}
