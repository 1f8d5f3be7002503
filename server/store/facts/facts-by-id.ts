import { sql } from 'kysely';
import type { Recorded } from '../../core/facts/fact.ts';
import type { Db } from '../database.ts';
import { FACT_COLUMNS, factOf } from './fact-row.ts';

/** Those of `ids` that the log has. */
export async function factsById(db: Db, plant: string, ids: readonly string[]): Promise<Map<string, Recorded>> {
  if (ids.length === 0) return new Map();
  const rows = await db.selectFrom('facts').where('plant', '=', plant).where(sql<boolean>`id = any(${ids}::uuid[])`)
    .where(sql<boolean>`month = any(select distinct fact_month(x) from unnest(${ids}::uuid[]) as x)`).select(FACT_COLUMNS).execute();
  return new Map(rows.map((row) => [row.id, factOf(row)]));
}
