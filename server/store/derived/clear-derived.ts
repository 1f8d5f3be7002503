import type { Tx } from '../database.ts';

/** Throws away everything derived from the plant's facts, to be built anew in the same transaction. */
export async function clearDerived(tx: Tx, plant: string): Promise<void> {
  for (const table of ['whereabouts', 'stays', 'flags', 'stops'] as const) await tx.deleteFrom(table).where('plant', '=', plant).execute();
}
