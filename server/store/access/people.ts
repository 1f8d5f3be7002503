import type { Role } from '../../core/access/roles.ts';
import type { Instant } from '../../core/units.ts';
import { type Db, iso, type Tx } from '../database.ts';

export interface PersonRow {
  id: string;
  login: string | null;
  name: string;
  language: 'en' | 'es';
  passwordHash: string | null;
  pinHash: string | null;
  houseAdministrator: boolean;
  leftAt: Instant | null;
}

const COLUMNS = ['id', 'login', 'name', 'language', 'password_hash as passwordHash', 'pin_hash as pinHash', 'house_administrator as houseAdministrator', 'left_at as leftAt'] as const;

export async function personByLogin(db: Db, login: string): Promise<PersonRow | null> {
  return (await db.selectFrom('people').select(COLUMNS).where('login', '=', login.toLowerCase()).executeTakeFirst()) ?? null;
}

export async function personById(db: Db, id: string): Promise<PersonRow | null> {
  return (await db.selectFrom('people').select(COLUMNS).where('id', '=', id).executeTakeFirst()) ?? null;
}

export async function listPeople(db: Db): Promise<PersonRow[]> {
  return db.selectFrom('people').select(COLUMNS).orderBy('name').execute();
}

export async function isHouseAdministered(db: Db): Promise<boolean> {
  const row = await db.selectFrom('people').select('id').where('house_administrator', '=', true).where('left_at', 'is', null).where('password_hash', 'is not', null).limit(1).executeTakeFirst();
  return row !== undefined;
}

export async function insertPerson(tx: Tx, person: Omit<PersonRow, 'leftAt'>, now: Instant): Promise<void> {
  await tx.insertInto('people').values({
    id: person.id, login: person.login?.toLowerCase() ?? null, name: person.name, language: person.language, password_hash: person.passwordHash, pin_hash: person.pinHash,
    house_administrator: person.houseAdministrator, added_at: iso(now), left_at: null,
  }).execute();
}

export interface PersonChange {
  login?: string | null;
  name?: string;
  language?: 'en' | 'es';
  password_hash?: string | null;
  pin_hash?: string | null;
  left_at?: string | null;
}

export async function updatePerson(tx: Tx, id: string, change: PersonChange): Promise<void> {
  if (Object.keys(change).length > 0) await tx.updateTable('people').set(change).where('id', '=', id).execute();
}

/** The person wears `code` from now on, and no other badge; null: none. */
export async function giveBadge(tx: Tx, person: string, code: string | null, now: Instant): Promise<void> {
  const worn = await tx.selectFrom('badges').select('code').where('person', '=', person).where('ended_at', 'is', null).executeTakeFirst();
  if ((worn?.code ?? null) === code) return;
  await tx.updateTable('badges').set({ ended_at: iso(now) }).where('person', '=', person).where('ended_at', 'is', null).execute();
  if (code !== null) await tx.insertInto('badges').values({ code, person, given_at: iso(now), ended_at: null }).execute();
}

/** The person has `roles` in `plant` from now on, and no others there. */
export async function giveRoles(tx: Tx, person: string, plant: string, roles: readonly Role[], now: Instant): Promise<void> {
  const had = (await tx.selectFrom('person_roles').select('role').where('person', '=', person).where('plant', '=', plant).where('ended_at', 'is', null).execute()).map(({ role }) => role);
  const gone = had.filter((role) => !roles.includes(role));
  const fresh = roles.filter((role) => !had.includes(role));
  if (gone.length > 0) {
    await tx.updateTable('person_roles').set({ ended_at: iso(now) }).where('person', '=', person).where('plant', '=', plant).where('ended_at', 'is', null).where('role', 'in', gone).execute();
  }
  if (fresh.length > 0) await tx.insertInto('person_roles').values(fresh.map((role) => ({ person, plant, role, given_at: iso(now), ended_at: null }))).execute();
}

export async function endAllRoles(tx: Tx, person: string, now: Instant): Promise<void> {
  await tx.updateTable('person_roles').set({ ended_at: iso(now) }).where('person', '=', person).where('ended_at', 'is', null).execute();
}
