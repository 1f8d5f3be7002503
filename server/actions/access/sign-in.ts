import { StationhandError } from '../../contract/errors.ts';
import type { NewPassword, PinSignIn, SignIn } from '../../contract/access.ts';
import { FORGOTTEN_AFTER_MS, waitAfter } from '../../core/access/waiting.ts';
import { covers, type SignedInBy } from '../../core/access/roles.ts';
import { insertLink, takeLink } from '../../store/access/one-time-links.ts';
import { endSessionsOf, endSession, insertSession, wasSignedInAt } from '../../store/access/sessions.ts';
import { countFailure, failuresOf, forgetFailures } from '../../store/access/sign-in-failures.ts';
import { giveBadge, insertPerson, isHouseAdministered, personById, personByLogin, type PersonRow, updatePerson } from '../../store/access/people.ts';
import { lastOfCode } from '../../store/access/devices.ts';
import type { Tx } from '../../store/database.ts';
import { v7 } from 'uuid';
import type { AccessParts } from './access-parts.ts';
import { type Caller, isLetIn } from './caller.ts';
import { letIn } from './devices.ts';
import { hashOf, hashPassword, isPassword, newToken } from './secrets.ts';

/** Tokens to be kept by the browser; null: it keeps the one it has. */
export interface Tokens {
  session: string;
  device: string | null;
  /** The device's code, which its facts carry. */
  code: string;
}

/** ASVS 4.0, 3.3.2, level 2: signed in again after twelve hours, or half an hour without asking anything. */
const SESSION_MS = 12 * 3_600_000;
export const IDLE_MS = 30 * 60_000;
/** A badge and PIN at a kiosk serve what a gate asks, and then the next person stands there. */
const PIN_SESSION_MS = 5 * 60_000;
const LINK_MS = 24 * 3_600_000;

/** Signs in by name and password. Throws `signInRefused`, or `signInWaits` after failures from this source for this name. */
export async function signIn(parts: AccessParts, caller: Caller, { login, password, device }: SignIn): Promise<Tokens> {
  const person = await personByLogin(parts.db, login);
  const known = person && isLetIn(caller.device) && (await wasSignedInAt(parts.db, person.id, caller.device.code));
  // A device at which the person was signed in before waits for its own failures only: those of anybody else do not hold it up.
  const source = known ? `device ${caller.device!.code}` : `address ${caller.source}`;
  await holdAgainst(parts, caller, `${source} ${login.toLowerCase()}`, login, async () => (await isPassword(usable(person)?.passwordHash ?? null, password)) && usable(person) !== null);
  return begin(parts, caller, person!, 'password', device);
}

/** Signs in at a kiosk by badge and PIN, for a few minutes. */
export async function signInByPin(parts: AccessParts, caller: Caller, plant: string, { badge, pin }: PinSignIn): Promise<Tokens> {
  const person = await heldAgainstPin(parts, caller, plant, { badge, pin });
  return begin(parts, caller, person, 'pin', caller.device!.code);
}

/** Whether `pin` is that of the badge, asked at a kiosk. Throws `signInWaits` after failures there for this badge. */
export async function isPinOf(parts: AccessParts, caller: Caller, plant: string, said: PinSignIn): Promise<boolean> {
  try {
    await heldAgainstPin(parts, caller, plant, said);
    return true;
  } catch (error) {
    if (error instanceof StationhandError && error.code === 'signInRefused') return false;
    throw error;
  }
}

async function heldAgainstPin(parts: AccessParts, caller: Caller, plant: string, { badge, pin }: PinSignIn): Promise<PersonRow> {
  const now = parts.now();
  const wearer = (await parts.memory.now()).byBadge.get(badge);
  const person = wearer?.badges.some((worn) => worn.code === badge && covers(worn, now)) ? usable(await personById(parts.db, wearer.id)) : null;
  await holdAgainst(parts, caller, `kiosk ${caller.device?.code} ${badge}`, badge, () => isPassword(person?.pinHash ?? null, pin), plant);
  return person!;
}

async function holdAgainst(parts: AccessParts, caller: Caller, source: string, said: string, isRight: () => Promise<boolean>, plant: string | null = null): Promise<void> {
  const key = hashOf(source);
  const before = await failuresOf(parts.db, key);
  const wait = before ? waitAfter(before.failures, before.last, parts.now()) : 0;
  if (wait > 0) throw new StationhandError('signInWaits', { what: `Too many failed tries: the next is looked at in ${Math.ceil(wait / 1_000)} seconds.` });
  // Counted before it is looked at, so that many at once are not all looked at.
  await countFailure(parts.db, key, parts.now(), parts.now() - FORGOTTEN_AFTER_MS);
  if (!(await isRight())) {
    await parts.audit(caller, plant, 'signInRefused', { said, failures: (before?.failures ?? 0) + 1 });
    throw new StationhandError('signInRefused');
  }
  await forgetFailures(parts.db, key);
}

function usable(person: PersonRow | null): PersonRow | null {
  return person && person.leftAt === null ? person : null;
}

/** Signs the person in at the caller's device; a browser that is none yet becomes a desk, known as `code` when nobody else is. */
export async function begin(parts: AccessParts, caller: Caller, person: PersonRow, how: SignedInBy, code: string): Promise<Tokens> {
  const now = parts.now();
  const session = newToken();
  const tokens = await parts.db.transaction().execute(async (tx): Promise<Tokens> => {
    if (caller.session) await endSession(tx, caller.session.hash, now);
    const desk = isLetIn(caller.device) ? null : await letIn(tx, caller, { code, plant: null, name: 'Desk', stations: null, pairedBy: person.id }, now, await wasDeskOf(tx, person.id, code));
    const device = desk?.id ?? caller.device!.id;
    await insertSession(tx, hashOf(session), { person: person.id, device, how, startedAt: now, seenAt: now, expiresAt: now + (how === 'pin' ? PIN_SESSION_MS : SESSION_MS), endedAt: null });
    return { session, device: desk?.token ?? null, code: desk?.code ?? caller.device!.code };
  });
  parts.memory.changed();
  const rights = (await parts.memory.now()).people.get(person.id)!;
  await parts.audit({ ...caller, session: { person: rights, how, hash: hashOf(session) } }, null, 'signedIn', { how, device: tokens.code });
  return tokens;
}

/** Whether the code is that of a desk at which the person was signed in: its browser lost its token, and what they stated there still waits on it. */
async function wasDeskOf(tx: Tx, person: string, code: string): Promise<boolean> {
  const last = await lastOfCode(tx, code);
  return last !== null && last.plant === null && (await wasSignedInAt(tx, person, code));
}

export async function signOut(parts: AccessParts, caller: Caller): Promise<void> {
  if (!caller.session) return;
  await endSession(parts.db, caller.session.hash, parts.now());
  await parts.audit(caller, null, 'signedOut');
  parts.memory.changed();
}

/** The token of a link by which `person` (null: the first administrator) chooses a password, good once within a day. */
export async function makeLink(parts: AccessParts, person: string | null): Promise<string> {
  const token = newToken();
  await parts.db.transaction().execute((tx) => insertLink(tx, hashOf(token), person, parts.now() + LINK_MS, parts.now()));
  return token;
}

/** A link for the first administrator while there is none, else null. */
export async function firstLink(parts: AccessParts): Promise<string | null> {
  return (await isHouseAdministered(parts.db)) ? null : makeLink(parts, null);
}

/** Uses a one-time link: sets the password, and for the first administrator makes the person. Returns the name to sign in by. */
export async function chooseByLink(parts: AccessParts, caller: Caller, { token, password, login, name }: NewPassword): Promise<{ login: string }> {
  const passwordHash = await hashPassword(password);
  const now = parts.now();
  const chosen = await parts.db.transaction().execute(async (tx) => {
    const link = await takeLink(tx, hashOf(token), now);
    if (!link) throw new StationhandError('linkNotGood');
    const person = link.person === null ? null : await personById(tx, link.person);
    const says = person?.login ?? login;
    if (!says) throw new StationhandError('malformedBody', { what: 'The first administrator needs a name to sign in by.', where: 'login' });
    if (password.toLowerCase().includes(says.toLowerCase())) throw new StationhandError('weakPassword', { what: 'The password holds the name that you sign in by.' });
    if (link.person !== null) {
      await updatePerson(tx, link.person, { password_hash: passwordHash });
      await endSessionsOf(tx, link.person, now);
      return { login: says };
    }
    const id = v7();
    await insertPerson(tx, { id, login: says, name: name ?? says, language: 'en', passwordHash, pinHash: null, houseAdministrator: true }, now);
    await giveBadge(tx, id, says, now);
    return { login: says };
  });
  parts.memory.changed();
  await parts.audit(caller, null, 'linkUsed', chosen);
  return chosen;
}
