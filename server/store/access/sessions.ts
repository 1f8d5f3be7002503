import type { Instant } from '../../core/units.ts';
import type { SessionSpan, SignedInBy } from '../../core/access/roles.ts';
import { type Db, iso, type Tx } from '../database.ts';

export interface SessionRow {
  person: string;
  device: string;
  how: SignedInBy;
  startedAt: Instant;
  seenAt: Instant;
  expiresAt: Instant;
  endedAt: Instant | null;
}

export async function insertSession(tx: Tx, hash: Buffer, session: SessionRow): Promise<void> {
  await tx.insertInto('sessions').values({
    token_hash: hash, person: session.person, device: session.device, how: session.how, started_at: iso(session.startedAt), seen_at: iso(session.seenAt),
    expires_at: iso(session.expiresAt), ended_at: null,
  }).execute();
}

export async function sessionByToken(db: Db, hash: Buffer): Promise<SessionRow | null> {
  const row = await db.selectFrom('sessions').select(['person', 'device', 'how', 'started_at as startedAt', 'seen_at as seenAt', 'expires_at as expiresAt', 'ended_at as endedAt'])
    .where('token_hash', '=', hash).executeTakeFirst();
  return row ?? null;
}

export async function sessionSeen(db: Db, hash: Buffer, now: Instant): Promise<void> {
  await db.updateTable('sessions').set({ seen_at: iso(now) }).where('token_hash', '=', hash).execute();
}

export async function endSession(db: Db, hash: Buffer, now: Instant): Promise<void> {
  await db.updateTable('sessions').set({ ended_at: iso(now) }).where('token_hash', '=', hash).where('ended_at', 'is', null).execute();
}

export async function endSessionsOf(tx: Tx, person: string, now: Instant): Promise<void> {
  await tx.updateTable('sessions').set({ ended_at: iso(now) }).where('person', '=', person).where('ended_at', 'is', null).execute();
}

/** Who was signed in, and when, at the devices that had the code. */
export async function sessionsOfDevice(db: Db, code: string): Promise<SessionSpan[]> {
  const rows = await db.selectFrom('sessions').innerJoin('devices', 'devices.id', 'sessions.device').select(['person', 'started_at', 'expires_at', 'ended_at'])
    .where('devices.code', '=', code).orderBy('started_at', 'desc').limit(1_000).execute();
  return rows.map(({ person, started_at: from, expires_at: expires, ended_at: ended }) => ({ person, from, until: ended === null ? expires : Math.min(ended, expires) }));
}

/** Whether the person was ever signed in at the device. */
export async function wasSignedInAt(db: Db, person: string, code: string): Promise<boolean> {
  const row = await db.selectFrom('sessions').innerJoin('devices', 'devices.id', 'sessions.device').select('person')
    .where('devices.code', '=', code).where('person', '=', person).limit(1).executeTakeFirst();
  return row !== undefined;
}
