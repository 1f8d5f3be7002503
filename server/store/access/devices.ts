import type { Instant } from '../../core/units.ts';
import { type Db, iso, type Tx } from '../database.ts';

export interface NewDevice {
  id: string;
  code: string;
  plant: string | null;
  name: string;
  stations: string[] | null;
  tokenHash: Buffer;
  pairedBy: string | null;
}

/** Lets a device in; the same code let in before is let out first. */
export async function insertDevice(tx: Tx, device: NewDevice, now: Instant): Promise<void> {
  await revokeOf(tx, 'code', device.code, null, now);
  await tx.insertInto('devices').values({
    id: device.id, code: device.code, plant: device.plant, name: device.name, stations: device.stations, token_hash: device.tokenHash, paired_at: iso(now), paired_by: device.pairedBy,
    revoked_at: null, revoked_by: null,
  }).execute();
}

/** Lets a device of `plant` out and ends who is signed in there. Returns its code and name, null when there is none that is let in. */
export async function revokeDevice(tx: Tx, plant: string, id: string, by: string | null, now: Instant): Promise<{ code: string; name: string } | null> {
  const device = await tx.selectFrom('devices').select(['id', 'code', 'name']).where('id', '=', id).where('plant', '=', plant).where('revoked_at', 'is', null).executeTakeFirst();
  if (!device) return null;
  await revokeOf(tx, 'id', id, by, now);
  return device;
}

async function revokeOf(tx: Tx, column: 'id' | 'code', value: string, by: string | null, now: Instant): Promise<void> {
  const rows = await tx.updateTable('devices').set({ revoked_at: iso(now), revoked_by: by }).where(column, '=', value).where('revoked_at', 'is', null).returning('id').execute();
  for (const { id } of rows) await tx.updateTable('sessions').set({ ended_at: iso(now) }).where('device', '=', id).where('ended_at', 'is', null).execute();
}

/** The device that had the code last, let in or not any more; null when none ever had. */
export async function lastOfCode(db: Db, code: string): Promise<{ plant: string | null } | null> {
  return (await db.selectFrom('devices').select('plant').where('code', '=', code).orderBy('paired_at', 'desc').limit(1).executeTakeFirst()) ?? null;
}

export async function deviceOf(db: Db, plant: string, id: string): Promise<{ code: string; name: string; stations: string[] | null } | null> {
  return (await db.selectFrom('devices').select(['code', 'name', 'stations']).where('id', '=', id).where('plant', '=', plant).executeTakeFirst()) ?? null;
}

export interface DeviceRow {
  id: string;
  code: string;
  name: string;
  stations: string[] | null;
  pairedAt: Instant;
  pairedBy: string | null;
  revokedAt: Instant | null;
}

/** The kiosks of `plant`, newest first. */
export async function listDevices(db: Db, plant: string): Promise<DeviceRow[]> {
  return db.selectFrom('devices').leftJoin('people', 'people.id', 'devices.paired_by')
    .select(['devices.id', 'devices.code', 'devices.name', 'stations', 'paired_at as pairedAt', 'people.name as pairedBy', 'revoked_at as revokedAt'])
    .where('plant', '=', plant).orderBy('paired_at', 'desc').limit(500).execute();
}

/** What a pairing code pairs. `device`: the code of the device that it pairs again, and no other; null: any. */
export interface PairingCodeRow {
  plant: string;
  device: string | null;
  name: string;
  stations: string[] | null;
  madeBy: string;
}

export async function insertPairingCode(db: Db, code: PairingCodeRow & { hash: Buffer; until: Instant }, now: Instant): Promise<void> {
  await db.insertInto('pairing_codes').values({
    code_hash: code.hash, device_code: code.device, plant: code.plant, name: code.name, stations: code.stations, made_by: code.madeBy, made_at: iso(now), expires_at: iso(code.until), used_at: null,
  }).execute();
}

/** Uses a code that is still good, once. */
export async function takePairingCode(tx: Tx, hash: Buffer, now: Instant): Promise<PairingCodeRow | null> {
  const row = await tx.updateTable('pairing_codes').set({ used_at: iso(now) }).where('code_hash', '=', hash).where('used_at', 'is', null).where('expires_at', '>', iso(now) as never)
    .returning(['plant', 'device_code as device', 'name', 'stations', 'made_by as madeBy']).executeTakeFirst();
  return row ?? null;
}
