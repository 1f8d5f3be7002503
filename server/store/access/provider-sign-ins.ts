import type { Instant } from '../../core/units.ts';
import { type Db, iso } from '../database.ts';

/** A sign-in that went to the provider: what is held against its answer, and where it began. */
export interface ProviderSignIn {
  state: string;
  nonce: string;
  codeVerifier: string;
  /** Id of the device that it began at; null: of none that was let in. */
  device: string | null;
  /** The id that the browser made for itself. */
  code: string;
  /** Token hash of the session that ends by it. */
  ends: Buffer | null;
}

/** Keeps a sign-in until `until`; those that never came back are cleared away. */
export async function insertProviderSignIn(db: Db, hash: Buffer, kept: ProviderSignIn, until: Instant, now: Instant): Promise<void> {
  await db.deleteFrom('provider_sign_ins').where('expires_at', '<', iso(now) as never).execute();
  const { state, nonce, codeVerifier, device, code, ends } = kept;
  await db.insertInto('provider_sign_ins').values({ token_hash: hash, state, nonce, code_verifier: codeVerifier, device, code, ends, expires_at: iso(until) }).execute();
}

/** Takes a sign-in out, once. Null: there is none, or it is too old. */
export async function takeProviderSignIn(db: Db, hash: Buffer, now: Instant): Promise<ProviderSignIn | null> {
  const row = await db.deleteFrom('provider_sign_ins').where('token_hash', '=', hash)
    .returning(['state', 'nonce', 'code_verifier as codeVerifier', 'device', 'code', 'ends', 'expires_at as until']).executeTakeFirst();
  if (!row || row.until <= now) return null;
  const { until: _, ...kept } = row;
  return kept;
}
