import { sql } from 'kysely';
import type { Recorded } from '../../core/facts/fact.ts';
import type { Db } from '../database.ts';
import { FACT_COLUMNS, factOf } from './fact-row.ts';

/** Facts that make others of theirs count differently: every identification, voids of `ids`, and rolls at or after `from`. */
export async function crossingFacts(db: Db, plant: string, ids: readonly string[], from: number): Promise<Recorded[]> {
  const rows = await db.selectFrom('facts').where('plant', '=', plant).where('kind', 'in', ['identify', 'void', 'roll'])
    .where((where) => where.or([
      where('kind', '=', 'identify'),
      where.and([where('kind', '=', 'void'), sql<boolean>`target = any(${ids}::uuid[])`]),
      where.and([where('kind', '=', 'roll'), where('happened', '>=', sql<number>`${new Date(from).toISOString()}::timestamptz`)]),
    ])).select(FACT_COLUMNS).execute();
  return rows.map(factOf);
}
