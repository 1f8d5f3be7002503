import type { Db } from '../database.ts';

/** Its bytes, or null where there is none of that id. */
export async function readPhoto(db: Db, plant: string, id: string): Promise<Buffer | null> {
  const row = await db.selectFrom('photos').where('plant', '=', plant).where('id', '=', id).select('bytes').executeTakeFirst();
  return row?.bytes ?? null;
}
