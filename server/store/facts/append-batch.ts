import { sql } from 'kysely';
import type { Flag } from '../../core/facts/flag.ts';
import type { Recorded } from '../../core/facts/fact.ts';
import type { Stay } from '../../core/timeline/line-history.ts';
import { CHANNEL } from '../channel.ts';
import type { Db } from '../database.ts';
import { insertingFlags } from '../derived/flags.ts';
import { savingStays } from '../derived/stays.ts';
import { savingWhereabouts, type Whereabouts } from '../derived/whereabouts.ts';
import { insertingFacts } from './insert-facts.ts';

export interface FoldedScans {
  facts: readonly Recorded[];
  whereabouts: readonly Whereabouts[];
  stays: readonly Stay[];
  flags: readonly Flag[];
}

/**
 * Appends facts with what was folded from them, in one statement, provided that the plant's log still goes on with `expected.nextSeq` under
 * `expected.setupVersion`: false when it does not, and then nothing is written. Throws a unique violation when the log has one of the ids.
 */
export async function appendBatch(db: Db, plant: string, expected: { nextSeq: number; setupVersion: number }, folded: FoldedScans): Promise<boolean> {
  const { facts, whereabouts, stays, flags } = folded;
  const nextSeq = expected.nextSeq + facts.length;
  const told = JSON.stringify({ plant, seq: nextSeq - 1 });
  const moved = sql`moved`;
  const { rows } = await sql`/* prepared: append-batch */
    with moved as (
      update plants set next_seq = ${nextSeq} where code = ${plant} and next_seq = ${expected.nextSeq} and setup_version = ${expected.setupVersion} returning code
    ), appended as (${insertingFacts(moved, facts)}), placed as (${savingWhereabouts(moved, whereabouts)}),
    stayed as (${savingStays(moved, stays)}), flagged as (${insertingFlags(moved, flags)})
    select pg_notify(${CHANNEL}, ${told}) from moved`.execute(db);
  return rows.length > 0;
}
