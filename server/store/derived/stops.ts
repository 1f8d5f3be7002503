import { sql } from 'kysely';
import type { StationStop } from '../../core/facts/fold-places.ts';
import type { Tx } from '../database.ts';

/** The stops of `stations` become `stops`. */
export async function replaceStops(tx: Tx, plant: string, stations: readonly string[], stops: readonly StationStop[]): Promise<void> {
  await tx.deleteFrom('stops').where('plant', '=', plant).where(sql<boolean>`station = any(${stations})`).execute();
  if (stops.length === 0) return;
  const rows = stops.map((stop) => ({
    plant, id: stop.id, station: stop.station, reason: stop.reason, note: stop.note, who: stop.who,
    opened: new Date(stop.opened).toISOString(), cleared: stop.cleared === null ? null : new Date(stop.cleared).toISOString(),
  }));
  await tx.insertInto('stops').values(rows).execute();
}
