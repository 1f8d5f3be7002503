import { sql } from 'kysely';
import type { Db } from '../database.ts';

/** Partitions of the months about `now`, made when they are missing. Facts of other months go to the default partition. */
export async function ensurePartitions(db: Db, now: number): Promise<void> {
  const date = new Date(now);
  for (const offset of [-2, -1, 0, 1, 2]) {
    const [from, to] = [offset, offset + 1].map((months) => new Date(Date.UTC(date.getUTCFullYear(), date.getUTCMonth() + months, 1)).toISOString().slice(0, 10));
    const name = `facts_${from!.slice(0, 7).replace('-', '_')}`;
    await db.transaction().execute(async (tx) => {
      await sql`select pg_advisory_xact_lock(hashtext('stationhand partitions'))`.execute(tx);
      const known = await sql<{ known: boolean }>`
        select to_regclass(${name}) is not null or exists (select from facts_other where month = ${from}::date) as known`.execute(tx);
      // A month that the default partition has facts of stays there.
      if (known.rows[0]?.known) return;
      await sql.raw(`create table ${name} partition of facts for values from ('${from}') to ('${to}')`).execute(tx);
    });
  }
}
