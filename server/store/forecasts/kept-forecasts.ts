import { sql } from 'kysely';
import type { Db } from '../database.ts';

const iso = (t: number): string => new Date(t).toISOString();

/** Forecasts of the line that were made in [from, to), in the order of making, as the text of a JSON list: another thread reads it. */
export async function keptForecastsText(db: Db, plant: string, line: string, from: number, to: number): Promise<string> {
  const { rows } = await sql<{ kept: string }>`
    select coalesce(json_agg(result order by made), '[]')::text as kept from forecasts
    where plant = ${plant} and line = ${line} and made >= ${iso(from)} and made < ${iso(to)}`.execute(db);
  return rows[0]!.kept;
}
