import { sql } from 'kysely';
import type { Db } from '../database.ts';

/** Stations at which something opened or cleared one of the stops `ids`. */
export async function stationsOfStops(db: Db, plant: string, ids: readonly string[]): Promise<string[]> {
  if (ids.length === 0) return [];
  const rows = await db.selectFrom('facts').where('plant', '=', plant).where('kind', 'in', ['openStop', 'clearStop'])
    .where((where) => where.or([sql<boolean>`id = any(${ids}::uuid[])`, sql<boolean>`target = any(${ids}::uuid[])`])).select('station').distinct().execute();
  return rows.flatMap(({ station }) => station ?? []);
}
