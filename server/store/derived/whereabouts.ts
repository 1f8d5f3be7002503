import { type RawBuilder, sql } from 'kysely';
import { type BriefState, briefState, fullState } from '../../core/facts/brief-state.ts';
import type { UnitState } from '../../core/facts/unit-state.ts';
import { rowsFrom } from '../rows-from.ts';
import { type Db, plantOf, type Tx } from '../database.ts';

/** Where in the order of facts a unit's state stands: its last fact that counts. */
export interface FactKey { happened: number; counter: number; device: string; id: string }

export interface Whereabouts { state: UnitState; last: FactKey }

const COLUMNS = ['state', 'last_happened', 'last_counter', 'last_device', 'last_fact'] as const;
type Row = { state: BriefState; last_happened: number; last_counter: number; last_device: string; last_fact: string };

const readRow = (row: Row): Whereabouts => ({
  state: fullState(row.state), last: { happened: row.last_happened, counter: row.last_counter, device: row.last_device, id: row.last_fact },
});

/** Whereabouts of those of `units` that have any. */
export async function whereaboutsOf(db: Db, plant: string, units: readonly string[]): Promise<Map<string, Whereabouts>> {
  const rows = await db.selectFrom('whereabouts').where('plant', '=', plant).where(sql<boolean>`unit = any(${units})`).select(COLUMNS).execute();
  return new Map(rows.map((row) => [row.state.unit, readRow(row)]));
}

/** Every unit of the plant that has whereabouts. */
export async function allUnits(db: Db, plant: string): Promise<string[]> {
  const rows = await db.selectFrom('whereabouts').where('plant', '=', plant).select('unit').orderBy('unit').execute();
  return rows.map(({ unit }) => unit);
}

/** Units that a roll of `line` at `happened` concerns: those on the line, and those with facts of that instant or later. */
export async function unitsRolled(db: Db, plant: string, line: string, happened: number): Promise<string[]> {
  const at = sql<number>`${new Date(happened).toISOString()}::timestamptz`;
  const rows = await db.selectFrom('whereabouts').where('plant', '=', plant)
    .where((where) => where.or([where('line', '=', line), where('last_happened', '>=', at)])).select('unit').execute();
  return rows.map(({ unit }) => unit);
}

/** Puts the whereabouts in, or in place of what the units had. */
export async function saveWhereabouts(tx: Tx, plant: string, all: readonly Whereabouts[]): Promise<void> {
  if (all.length > 0) await savingWhereabouts(plantOf(plant), all).execute(tx);
}

/** What `saveWhereabouts` does, for the plant whose code is in `plant`, a source of one row. */
export function savingWhereabouts(plant: RawBuilder<unknown>, all: readonly Whereabouts[]): RawBuilder<unknown> {
  const rows = all.map(({ state, last }) => ({ unit: state.unit, state: briefState(state), line: state.place?.line ?? null, ...last, happened: new Date(last.happened).toISOString() }));
  return sql`
    insert into whereabouts (plant, unit, state, line, last_happened, last_counter, last_device, last_fact)
    select code, unit, state, line, happened, counter, device, id
    from ${plant}, ${rowsFrom(rows, {
      unit: 'text', state: 'json', line: 'text', happened: 'timestamptz', counter: 'bigint', device: 'text', id: 'uuid',
    })}
    on conflict (plant, unit) do update set state = excluded.state, line = excluded.line, last_happened = excluded.last_happened,
      last_counter = excluded.last_counter, last_device = excluded.last_device, last_fact = excluded.last_fact`;
}

/** Units of which nothing is left that counts. */
export async function deleteWhereabouts(tx: Tx, plant: string, units: readonly string[]): Promise<void> {
  await tx.deleteFrom('whereabouts').where('plant', '=', plant).where(sql<boolean>`unit = any(${units})`).execute();
}
