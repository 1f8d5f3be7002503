import type { Instant } from '../../core/units.ts';
import { type Db, iso } from '../database.ts';

export interface AuditEntry {
  at: Instant;
  plant: string | null;
  what: string;
  person: string | null;
  who: string;
  device: string;
  source: string;
  detail: Record<string, unknown>;
}

export async function insertAudit(db: Db, { at, detail, ...entry }: AuditEntry): Promise<void> {
  await db.insertInto('audit_trail').values({ ...entry, at: iso(at), detail: JSON.stringify(detail) }).execute();
}

/** Up to `limit` entries of the plant, and of no plant in particular where `house` says so, newest first, before entry `before`. */
export async function listAudit(db: Db, plant: string, house: boolean, before: number | null, limit: number): Promise<(AuditEntry & { id: number })[]> {
  let query = db.selectFrom('audit_trail').select(['id', 'at', 'plant', 'what', 'person', 'who', 'device', 'source', 'detail']).orderBy('id', 'desc').limit(limit);
  query = house ? query.where((is) => is.or([is('plant', '=', plant), is('plant', 'is', null)])) : query.where('plant', '=', plant);
  if (before !== null) query = query.where('id', '<', before);
  return query.execute();
}
