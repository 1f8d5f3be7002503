import { v7 } from 'uuid';
import type { BadgeWorn, LinkReply, PersonListed, PersonSaid } from '../../contract/access.ts';
import { StationhandError } from '../../contract/errors.ts';
import { type PersonRights, rolesAt } from '../../core/access/roles.ts';
import type { Access } from '../../store/access/load-access.ts';
import { endAllRoles, giveBadge, giveRoles, insertPerson, listPeople, type PersonChange, updatePerson } from '../../store/access/people.ts';
import { endSessionsOf } from '../../store/access/sessions.ts';
import { iso, type Tx } from '../../store/database.ts';
import type { AccessParts } from './access-parts.ts';
import type { Caller } from './caller.ts';
import { hashPassword } from './secrets.ts';
import { makeLink } from './sign-in.ts';

/** The people who have or had a role in `plant`; an administrator of the house sees everybody, to give a person of one plant a role in another. */
export async function peopleOf({ db, memory, now }: AccessParts, caller: Caller, plant: string): Promise<PersonListed[]> {
  const { people } = await memory.now();
  return (await listPeople(db)).flatMap(({ id, name, login, language, pinHash, passwordHash, leftAt }): PersonListed[] => {
    const rights = people.get(id);
    if (!rights || !(rights.roles.some((role) => role.plant === plant) || caller.session?.person.houseAdministrator)) return [];
    const badge = rights.badges.find(({ until }) => until === null)?.code ?? null;
    return [{ id, name, login, badge, language, roles: rolesAt(rights, plant, now()), hasPin: pinHash !== null, hasPassword: passwordHash !== null, left: leftAt !== null }];
  });
}

/** The badges worn now by people who have a role in `plant`. */
export function badgesOf({ people }: Access, plant: string): BadgeWorn[] {
  return [...people.values()].flatMap(({ name, language, roles, badges }) => {
    const badge = badges.find(({ until }) => until === null);
    return badge && roles.some((role) => role.plant === plant && role.until === null) ? [{ code: badge.code, name, language }] : [];
  });
}

/** Adds a person with roles in `plant`. Who signs in by a name gets a link to choose a password by. Throws `personTaken`. */
export async function addPerson(parts: AccessParts, caller: Caller, plant: string, said: PersonSaid): Promise<LinkReply> {
  const id = v7();
  const pinHash = said.pin ? await hashPassword(said.pin) : null;
  await write(parts, async (tx) => {
    await insertPerson(tx, { id, login: said.login, name: said.name, language: said.language, passwordHash: null, pinHash, houseAdministrator: false }, parts.now());
    await giveBadge(tx, id, said.badge, parts.now());
    await giveRoles(tx, id, plant, said.roles, parts.now());
  });
  await parts.audit(caller, plant, 'personAdded', { person: id, badge: said.badge, roles: said.roles });
  return said.login === null ? { id, link: null } : linkFor(parts, caller, plant, id);
}

/** The person becomes as said; one who left loses every role, the badge, and is signed out. Throws `unknownPerson`, `noRight`, `personTaken`. */
export async function changePerson(parts: AccessParts, caller: Caller, plant: string, id: string, said: PersonSaid): Promise<void> {
  await mayChange(parts, caller, plant, id);
  if (said.left && caller.session?.person.id === id) throw new StationhandError('noRight', { what: 'Nobody ends the own right to be here.', where: 'left' });
  const now = parts.now();
  const change: PersonChange = { name: said.name, login: said.login, language: said.language, left_at: said.left ? iso(now) : null };
  if (said.pin !== undefined) change.pin_hash = said.pin === null ? null : await hashPassword(said.pin);
  await write(parts, async (tx) => {
    await updatePerson(tx, id, change);
    await giveBadge(tx, id, said.left ? null : said.badge, now);
    if (said.left) {
      await endAllRoles(tx, id, now);
      await endSessionsOf(tx, id, now);
    } else await giveRoles(tx, id, plant, said.roles, now);
  });
  await parts.audit(caller, plant, 'personChanged', { person: id, badge: said.badge, roles: said.roles, left: said.left, pin: said.pin !== undefined });
}

/** A link by which the person chooses a password, shown once. */
export async function linkFor(parts: AccessParts, caller: Caller, plant: string, id: string): Promise<LinkReply> {
  await mayChange(parts, caller, plant, id);
  const token = await makeLink(parts, id);
  await parts.audit(caller, plant, 'linkMade', { person: id });
  // After the number sign, which no browser sends: the token is in no log and no referrer.
  return { id, link: `/link#${token}` };
}

/** A person is changed only by who is administrator wherever the person has a role: else one plant's administrator would come into another. */
async function mayChange({ memory, now }: AccessParts, caller: Caller, plant: string, id: string): Promise<void> {
  const person: PersonRights | undefined = (await memory.now()).people.get(id);
  const by = caller.session?.person;
  const plants = person ? [...new Set(person.roles.filter(({ until }) => until === null).map((role) => role.plant))] : [];
  const known = by?.houseAdministrator || person?.roles.some((role) => role.plant === plant);
  if (!person || !by || !known) throw new StationhandError('unknownPerson');
  const everywhere = plants.every((code) => rolesAt(by, code, now()).includes('administrator'));
  if (!everywhere || (person.houseAdministrator && !by.houseAdministrator)) throw new StationhandError('noRight', { what: 'The person has roles in a plant that you are not administrator of.', where: 'person' });
}

async function write({ db, memory }: AccessParts, change: (tx: Tx) => Promise<void>): Promise<void> {
  try {
    await db.transaction().execute(change);
  } catch (error) {
    if ((error as { code?: string }).code === UNIQUE_VIOLATION) throw new StationhandError('personTaken');
    throw error;
  } finally {
    memory.changed();
  }
}

/** PostgreSQL's code for a value that must be unique and is there already. */
const UNIQUE_VIOLATION = '23505';
