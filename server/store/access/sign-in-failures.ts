import { sql } from 'kysely';
import type { Instant } from '../../core/units.ts';
import { type Db, iso } from '../database.ts';

export async function failuresOf(db: Db, key: Buffer): Promise<{ failures: number; last: Instant } | null> {
  const row = await db.selectFrom('sign_in_failures').select(['failures', 'last_at as last']).where('key_hash', '=', key).executeTakeFirst();
  return row ?? null;
}

/** One failure more; the count begins anew when the last was before `forgottenBefore`. Rows of before then are cleared away. */
export async function countFailure(db: Db, key: Buffer, now: Instant, forgottenBefore: Instant): Promise<void> {
  await db.deleteFrom('sign_in_failures').where('last_at', '<', iso(forgottenBefore) as never).execute();
  await db.insertInto('sign_in_failures').values({ key_hash: key, failures: 1, last_at: iso(now) })
    .onConflict((conflict) => conflict.column('key_hash').doUpdateSet({ failures: sql<number>`sign_in_failures.failures + 1`, last_at: iso(now) })).execute();
}

export async function forgetFailures(db: Db, key: Buffer): Promise<void> {
  await db.deleteFrom('sign_in_failures').where('key_hash', '=', key).execute();
}
