import { sql } from 'kysely';
import type { Db } from '../database.ts';

/** What in a plant's log makes facts still to come count differently. */
export interface CrossingSummary {
  /** Ids that a void answers and the log does not have yet. */
  voidedAhead: string[];
  /** Serials on either side of an identification. */
  identified: string[];
  /** The latest instant of a roll. */
  lastRoll: number | null;
}

export async function crossingSummary(db: Db, plant: string): Promise<CrossingSummary> {
  const { rows } = await sql<{ voided: string[] | null; identified: string[] | null; lastRoll: number | null }>`select
    (select array_agg(v.target::text) from facts v where plant = ${plant} and kind = 'void'
      and not exists (select from facts f where f.plant = ${plant} and f.id = v.target and f.month = fact_month(v.target))) as voided,
    (select array_agg(serial) from facts f, unnest(array[f.unit, f.body ->> 'scanned']) as serial where plant = ${plant} and kind = 'identify') as identified,
    (select max(happened) from facts where plant = ${plant} and kind = 'roll') as "lastRoll"`.execute(db);
  const { voided, identified, lastRoll } = rows[0]!;
  return { voidedAhead: voided ?? [], identified: identified ?? [], lastRoll };
}
