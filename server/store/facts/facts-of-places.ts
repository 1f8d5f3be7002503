import type { Recorded } from '../../core/facts/fact.ts';
import type { Db } from '../database.ts';
import { FACT_COLUMNS, factOf } from './fact-row.ts';

/** Everything stops and the flags of stations and lines are folded from: what names those stations and lines, and every void. */
export async function factsOfPlaces(db: Db, plant: string, stations: readonly string[], lines: readonly string[]): Promise<Recorded[]> {
  const facts = await db.selectFrom('facts').where('plant', '=', plant)
    .where((where) => where.or([
      where.and([where('kind', 'in', ['openStop', 'clearStop', 'heads', 'openUntil', 'goneHome']), where('station', 'in', [...stations, ''])]),
      where.and([where('kind', 'in', ['roll', 'openUntil', 'goneHome']), where('line', 'in', [...lines, ''])]),
      where('kind', '=', 'void'),
    ])).select(FACT_COLUMNS).execute();
  return facts.map(factOf);
}
