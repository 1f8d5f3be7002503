import type { Tx } from '../database.ts';

/** Waits for the plant's lock and holds it until the transaction ends; null when there is no such plant. */
export async function lockPlant(tx: Tx, plant: string): Promise<{ nextSeq: number; setupVersion: number } | null> {
  const row = await tx.selectFrom('plants').where('code', '=', plant).select(['next_seq', 'setup_version']).forUpdate().executeTakeFirst();
  return row ? { nextSeq: row.next_seq, setupVersion: row.setup_version } : null;
}
