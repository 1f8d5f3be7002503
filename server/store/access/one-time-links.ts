import type { Instant } from '../../core/units.ts';
import { iso, type Tx } from '../database.ts';

/** A link for `person` (null: the first administrator); earlier ones for the same are good no more. */
export async function insertLink(tx: Tx, hash: Buffer, person: string | null, until: Instant, now: Instant): Promise<void> {
  const open = tx.updateTable('one_time_links').set({ used_at: iso(now) }).where('used_at', 'is', null);
  await (person === null ? open.where('person', 'is', null) : open.where('person', '=', person)).execute();
  await tx.insertInto('one_time_links').values({ token_hash: hash, person, made_at: iso(now), expires_at: iso(until), used_at: null }).execute();
}

/** Uses a link that is still good, once: whom it is for. Null when there is none. */
export async function takeLink(tx: Tx, hash: Buffer, now: Instant): Promise<{ person: string | null } | null> {
  const row = await tx.updateTable('one_time_links').set({ used_at: iso(now) }).where('token_hash', '=', hash).where('used_at', 'is', null).where('expires_at', '>', iso(now) as never)
    .returning('person').executeTakeFirst();
  return row ?? null;
}
