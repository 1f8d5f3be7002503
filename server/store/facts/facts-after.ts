import type { Recorded } from '../../core/facts/fact.ts';
import type { Db } from '../database.ts';
import { FACT_COLUMNS, factOf } from './fact-row.ts';

/** The plant's facts numbered above `after` and up to `last`, in the order of recording, at most `limit` of them. */
export async function factsAfter(db: Db, plant: string, after: number, last: number, limit: number): Promise<Recorded[]> {
  const rows = await db.selectFrom('facts').where('plant', '=', plant).where('seq', '>', after).where('seq', '<=', last)
    .select(FACT_COLUMNS).orderBy('seq').limit(limit).execute();
  return rows.map(factOf);
}
