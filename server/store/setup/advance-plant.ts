import { sql } from 'kysely';
import { CHANNEL } from '../channel.ts';
import type { Tx } from '../database.ts';

/** Says that the plant's log goes on with `nextSeq`, and tells every server that listens once the transaction commits. */
export async function advancePlant(tx: Tx, plant: string, nextSeq: number): Promise<void> {
  const told = JSON.stringify({ plant, seq: nextSeq - 1 });
  await sql`with moved as (update plants set next_seq = ${nextSeq} where code = ${plant}) select pg_notify(${CHANNEL}, ${told})`.execute(tx);
}
