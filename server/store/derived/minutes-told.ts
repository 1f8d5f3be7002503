import { sql } from 'kysely';
import type { Db, Tx } from '../database.ts';

/** Number of the log up to which the minutes of visits are told; 0 when they are not. */
export async function minutesToldTo(db: Db, plant: string): Promise<number> {
  const row = await db.selectFrom('minutes_told').where('plant', '=', plant).select('seq').executeTakeFirst();
  return row?.seq ?? 0;
}

/** One server at a time tells the minutes of a plant: waits for its turn, until the transaction ends. */
export async function lockMinutes(tx: Tx, plant: string): Promise<void> {
  await sql`select pg_advisory_xact_lock(hashtextextended(${`stationhand minutes ${plant}`}, 0))`.execute(tx);
}

export async function setMinutesTold(tx: Tx, plant: string, seq: number): Promise<void> {
  await tx.insertInto('minutes_told').values({ plant, seq }).onConflict((conflict) => conflict.column('plant').doUpdateSet({ seq })).execute();
}
