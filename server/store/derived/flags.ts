import { type RawBuilder, sql } from 'kysely';
import type { Flag } from '../../core/facts/flag.ts';
import { rowsFrom } from '../rows-from.ts';
import { type Db, plantOf, type Tx } from '../database.ts';

export async function insertFlags(tx: Tx, plant: string, flags: readonly Flag[]): Promise<void> {
  if (flags.length > 0) await insertingFlags(plantOf(plant), flags).execute(tx);
}

/** The insertion of `flags` for the plant whose code is in `plant`, a source of one row. */
export function insertingFlags(plant: RawBuilder<unknown>, flags: readonly Flag[]): RawBuilder<unknown> {
  return sql`
    insert into flags (plant, fact, code, unit, station, detail)
    select plant.code, fact, r.code, unit, station, detail
    from (select code from ${plant}) as plant, ${rowsFrom(flags, { fact: 'uuid', code: 'text', unit: 'text', station: 'text', detail: 'text' })}`;
}

export async function deleteFlagsOfUnits(tx: Tx, plant: string, units: readonly string[]): Promise<void> {
  await tx.deleteFrom('flags').where('plant', '=', plant).where(sql<boolean>`unit = any(${units})`).execute();
}

/** Flags of facts about stations and lines carry no unit. */
export async function deleteFlagsOfPlaces(tx: Tx, plant: string, facts: readonly string[]): Promise<void> {
  await tx.deleteFrom('flags').where('plant', '=', plant).where('unit', 'is', null).where(sql<boolean>`fact = any(${facts}::uuid[])`).execute();
}

/** Codes of what surprised about each of `facts`. */
export async function flagCodesOf(db: Db, plant: string, facts: readonly string[]): Promise<Map<string, string[]>> {
  const codes = new Map<string, string[]>();
  if (facts.length === 0) return codes;
  const rows = await db.selectFrom('flags').where('plant', '=', plant).where(sql<boolean>`fact = any(${facts}::uuid[])`).select(['fact', 'code']).execute();
  for (const { fact, code } of rows) codes.set(fact, [...(codes.get(fact) ?? []), code]);
  return codes;
}
