import type { Db } from '../database.ts';

/** Makes the plant's row when there is none yet. */
export async function insertPlant(db: Db, code: string, name: string): Promise<void> {
  await db.insertInto('plants').values({ code, name, next_seq: 1, setup_version: 0 }).onConflict((conflict) => conflict.doNothing()).execute();
}
