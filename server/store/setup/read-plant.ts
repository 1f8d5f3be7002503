import type { Db } from '../database.ts';

/** How far the plant's log and its set-up have come; null when there is no such plant. */
export async function readPlant(db: Db, plant: string): Promise<{ version: number; setupVersion: number } | null> {
  const row = await db.selectFrom('plants').where('code', '=', plant).select(['next_seq', 'setup_version']).executeTakeFirst();
  return row ? { version: row.next_seq - 1, setupVersion: row.setup_version } : null;
}
