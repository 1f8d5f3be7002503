import type { Db } from '../database.ts';
import type { KeptForecast } from './kept-forecast.ts';

/** The forecast of the line that was made last; null when none is kept. */
export async function latestForecast(db: Db, plant: string, line: string): Promise<KeptForecast | null> {
  const row = await db.selectFrom('forecasts').where('plant', '=', plant).where('line', '=', line).select(['result', 'log_version', 'facts_at'])
    .orderBy('made', 'desc').limit(1).executeTakeFirst();
  return row ? { forecast: row.result, version: row.log_version, factsAt: row.facts_at } : null;
}
