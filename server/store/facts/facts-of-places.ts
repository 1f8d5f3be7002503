import { sql } from 'kysely';
import { PLACE_KINDS } from '../../core/facts/fold-places.ts';
import type { Recorded } from '../../core/facts/fact.ts';
import type { Db } from '../database.ts';
import { FACT_COLUMNS, factOf } from './fact-row.ts';

/**
 * Everything stops and the flags of stations and lines are folded from: what names those stations and lines, the stops that this
 * clears and what clears its stops elsewhere, and every void.
 */
export async function factsOfPlaces(db: Db, plant: string, stations: readonly string[], lines: readonly string[]): Promise<Recorded[]> {
  const here = db.selectFrom('facts').where('plant', '=', plant)
    .where('kind', 'in', PLACE_KINDS)
    .where((where) => where.or([sql<boolean>`station = any(${stations})`, sql<boolean>`line = any(${lines})`]));
  const own = await here.select(FACT_COLUMNS).select('target').execute();
  const ids = own.map(({ id }) => id);
  const targets = own.flatMap(({ target }) => target ?? []);
  const others = await db.selectFrom('facts').where('plant', '=', plant).where((where) => where.or([
    where('kind', '=', 'void'),
    where.and([where('kind', 'in', ['openStop', 'clearStop', 'openAction', 'closeAction']), where.or([sql<boolean>`id = any(${targets}::uuid[])`, sql<boolean>`target = any(${ids}::uuid[])`])]),
  ])).select(FACT_COLUMNS).execute();
  return [...new Map([...own.map(({ target: _, ...row }) => row), ...others].map((row) => [row.id, factOf(row)])).values()];
}
