import { sql } from 'kysely';
import type { Recorded } from '../../core/facts/fact.ts';
import type { Db } from '../database.ts';
import { FACT_COLUMNS, factOf } from './fact-row.ts';

/** Everything `units` are folded from: their own facts, every roll, every void. */
export async function factsOfUnits(db: Db, plant: string, units: readonly string[]): Promise<Recorded[]> {
  const own = await db.selectFrom('facts').where('plant', '=', plant).where(sql<boolean>`unit = any(${units})`).select(FACT_COLUMNS).execute();
  const crossing = await db.selectFrom('facts').where('plant', '=', plant).where('kind', 'in', ['roll', 'void']).select(FACT_COLUMNS).execute();
  return [...own, ...crossing].map(factOf);
}
