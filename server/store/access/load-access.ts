import type { DeviceRights, PersonRights } from '../../core/access/roles.ts';
import type { Db } from '../database.ts';

/** Everybody and every device that ever was let in, as rights are judged by. `tokens`: the device of each token hash, in hexadecimal. */
export interface Access {
  people: Map<string, PersonRights>;
  byBadge: Map<string, PersonRights>;
  byToken: Map<string, DeviceRights>;
  byCode: Map<string, DeviceRights[]>;
}

export async function loadAccess(db: Db): Promise<Access> {
  const [people, badges, roles, devices] = await Promise.all([
    db.selectFrom('people').select(['id', 'name', 'language', 'house_administrator', 'left_at']).execute(),
    db.selectFrom('badges').selectAll().execute(),
    db.selectFrom('person_roles').selectAll().execute(),
    db.selectFrom('devices').selectAll().orderBy('paired_at').execute(),
  ]);
  const access: Access = { people: new Map(), byBadge: new Map(), byToken: new Map(), byCode: new Map() };
  for (const row of people) {
    const houseAdministrator = row.house_administrator && row.left_at === null;
    access.people.set(row.id, { id: row.id, name: row.name, language: row.language, houseAdministrator, roles: [], badges: [] });
  }
  for (const { person, code, given_at: from, ended_at: until } of badges) {
    const wearer = access.people.get(person)!;
    wearer.badges.push({ code, from, until });
    access.byBadge.set(code, wearer);
  }
  for (const { person, plant, role, given_at: from, ended_at: until } of roles) access.people.get(person)!.roles.push({ plant, role, from, until });
  for (const { id, code, plant, name, stations, token_hash: hash, paired_at: from, revoked_at: until } of devices) {
    const device: DeviceRights = { id, code, plant, name, stations, from, until };
    access.byToken.set(hash.toString('hex'), device);
    access.byCode.set(code, [...(access.byCode.get(code) ?? []), device]);
  }
  return access;
}
