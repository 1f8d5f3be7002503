import { v7 } from 'uuid';
import type { Role } from '../../core/access/roles.ts';
import { endSessionsOf } from '../../store/access/sessions.ts';
import { giveBadge, giveRoles, insertPerson, listPeople, updatePerson } from '../../store/access/people.ts';
import type { AccessParts } from './access-parts.ts';
import { hashPassword, newCode } from './secrets.ts';

/** Somebody of the demo plant. All names are invented. */
interface DemoPerson {
  name: string;
  badge: string;
  login: string | null;
  roles: Role[];
}

export interface DemoPeople {
  people: DemoPerson[];
  /** Of everybody who signs in by a name, until the program starts again. */
  password: string;
  /** Of everybody, with their badge at a kiosk. */
  pin: string;
}

const PIN_DIGITS = 6;

const PEOPLE: DemoPerson[] = [
  ...['01', '02', '03', '04', '05', '06'].map((n): DemoPerson => ({ name: `Lead ${n}`, badge: `L${n}`, login: null, roles: ['lead'] })),
  { name: 'Worker 01', badge: 'W01', login: null, roles: ['worker'] },
  { name: 'Inspector 01', badge: 'I01', login: null, roles: ['inspector'] },
  { name: 'Supervisor 01', badge: 'S01', login: 'supervisor01', roles: ['supervisor', 'lead'] },
  { name: 'Quality 01', badge: 'Q01', login: 'quality01', roles: ['quality'] },
  { name: 'Control 01', badge: 'C01', login: 'control01', roles: ['productionControl'] },
  { name: 'Administrator 01', badge: 'A01', login: 'admin01', roles: ['administrator'] },
];

/** The people of the demo plant, with a password and PIN drawn anew: what was printed at an earlier start is good no more. */
export async function demoPeople(parts: AccessParts, plant: string): Promise<DemoPeople> {
  const now = parts.now();
  const password = `demo-${newCode()}-${newCode().slice(0, 4)}`.toLowerCase();
  const pin = String(Number.parseInt(newCode(), 36) % 10 ** PIN_DIGITS).padStart(PIN_DIGITS, '0');
  const [passwordHash, pinHash] = await Promise.all([hashPassword(password), hashPassword(pin)]);
  const { byBadge } = await parts.memory.now();
  const there = new Set((await listPeople(parts.db)).map(({ id }) => id));
  await parts.db.transaction().execute(async (tx) => {
    for (const { name, badge, login, roles } of PEOPLE) {
      const known = byBadge.get(badge)?.id;
      const hash = login === null ? null : passwordHash;
      if (known && there.has(known)) {
        await updatePerson(tx, known, { password_hash: hash, pin_hash: pinHash });
        await endSessionsOf(tx, known, now);
        continue;
      }
      const id = v7();
      await insertPerson(tx, { id, login, name, language: 'en', passwordHash: hash, pinHash, houseAdministrator: roles.includes('administrator') }, now);
      await giveBadge(tx, id, badge, now);
      await giveRoles(tx, id, plant, roles, now);
    }
  });
  parts.memory.changed();
  return { people: PEOPLE, password, pin };
}
