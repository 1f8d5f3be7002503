import type { Db } from '../database.ts';

export interface NewPhoto {
  id: string;
  who: string;
  device: string;
  /** Instant, ISO 8601. */
  received: string;
  width: number;
  height: number;
  bytes: Buffer;
}

/** Keeps the photo. False when there is one of its id already, which stays as it is. */
export async function insertPhoto(db: Db, plant: string, photo: NewPhoto): Promise<boolean> {
  const rows = await db.insertInto('photos').values({ plant, ...photo }).onConflict((conflict) => conflict.doNothing()).returning('id').execute();
  return rows.length > 0;
}
