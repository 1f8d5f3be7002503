import { type RawBuilder, sql } from 'kysely';
import type { Stay } from '../../core/timeline/line-history.ts';
import { rowsFrom } from '../rows-from.ts';
import { plantOf, type Tx } from '../database.ts';

const iso = (t: number | null): string | null => (t === null ? null : new Date(t).toISOString());

/** Puts the stays in, or in place of those begun by the same fact. */
export async function saveStays(tx: Tx, plant: string, stays: readonly Stay[]): Promise<void> {
  if (stays.length > 0) await savingStays(plantOf(plant), stays).execute(tx);
}

/** What `saveStays` does, for the plant whose code is in `plant`, a source of one row. A unit's ended stay comes before its open one: one is open at a time. */
export function savingStays(plant: RawBuilder<unknown>, stays: readonly Stay[]): RawBuilder<unknown> {
  const rows = stays.map((stay) => ({
    unit: stay.unit, line: stay.line, arrived_by: stay.arrivedBy, station: stay.station, arrived: iso(stay.arrived), finished: iso(stay.finished),
    departed: iso(stay.left), left_how: stay.leftHow,
  }));
  return sql`
    insert into stays (plant, unit, line, arrived_by, station, arrived, finished, departed, left_how)
    select code, unit, line, arrived_by, station, arrived, finished, departed, left_how
    from ${plant}, ${rowsFrom(rows, {
      unit: 'text', line: 'text', arrived_by: 'uuid', station: 'text', arrived: 'timestamptz', finished: 'timestamptz', departed: 'timestamptz', left_how: 'text',
    })} order by (departed is null)
    on conflict (plant, unit, line, arrived_by) do update set finished = excluded.finished, departed = excluded.departed, left_how = excluded.left_how`;
}

export async function deleteStays(tx: Tx, plant: string, units: readonly string[]): Promise<void> {
  await tx.deleteFrom('stays').where('plant', '=', plant).where(sql<boolean>`unit = any(${units})`).execute();
}
