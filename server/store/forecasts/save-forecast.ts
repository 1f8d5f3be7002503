import { sql } from 'kysely';
import type { KeptForecast } from './kept-forecast.ts';
import type { Db } from '../database.ts';

const iso = (t: number): string => new Date(t).toISOString();
const KEPT_DAYS = 120;

/** Keeps the forecast in place of those of its line that were made earlier in the same hour (UTC), and lets go of those older than 120 days. */
export async function saveForecast(db: Db, plant: string, { forecast, version, factsAt }: KeptForecast): Promise<void> {
  const made = iso(forecast.at);
  await db.transaction().execute(async (tx) => {
    await tx.insertInto('forecasts').values({
      plant, line: forecast.line, made, log_version: version, facts_at: factsAt === null ? null : iso(factsAt), seed: forecast.seed, result: JSON.stringify(forecast),
    }).onConflict((conflict) => conflict.doNothing()).execute();
    await sql`
      delete from forecasts where plant = ${plant} and line = ${forecast.line}
        and (made < ${made} and made >= date_trunc('hour', ${made}::timestamptz, 'UTC') or made < ${made}::timestamptz - make_interval(days => ${KEPT_DAYS}))`.execute(tx);
  });
}
