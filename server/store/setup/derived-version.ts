import type { Db, Tx } from '../database.ts';

/** Plants whose derived tables are of a form before `version`. */
export async function plantsDerivedBefore(db: Db, version: number): Promise<string[]> {
  const rows = await db.selectFrom('plants').where('derived_version', '<', version).where('setup_version', '>', 0).select('code').orderBy('code').execute();
  return rows.map(({ code }) => code);
}

export async function setDerivedVersion(tx: Tx, plant: string, version: number): Promise<void> {
  await tx.updateTable('plants').set({ derived_version: version }).where('code', '=', plant).execute();
}
