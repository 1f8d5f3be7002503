import { sql } from 'kysely';
import type { Db } from '../database.ts';

/** Every derived row of the plant as text, in a fixed order: equal dumps are equal tables. */
export async function dumpDerived(db: Db, plant: string): Promise<string[]> {
  const { rows } = await sql<{ row: string }>`
    select row from (select 'whereabouts ' || to_jsonb(t)::text as row from whereabouts t where plant = ${plant}
    union all select 'stays ' || to_jsonb(t)::text from stays t where plant = ${plant}
    union all select 'flags ' || to_jsonb(t)::text from flags t where plant = ${plant}
    union all select 'visits ' || to_jsonb(t)::text from visits t where plant = ${plant}
    union all select 'stops ' || to_jsonb(t)::text from stops t where plant = ${plant}
    ) dump order by row collate "C"`.execute(db);
  return rows.map(({ row }) => row);
}
