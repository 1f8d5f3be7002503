import type { AuditListed, BadgeWorn, DeviceListed, LinkReply, Me, NewPassword, Pairing, PairingCode, PairingCodeReply, PersonListed, PersonSaid, PinSignIn, ProviderSignInBegun, SignIn } from '../../contract/access.ts';
import { type PersonRights } from '../../core/access/roles.ts';
import { listAudit } from '../../store/access/audit-trail.ts';
import { sessionByToken, sessionSeen } from '../../store/access/sessions.ts';
import { listPlants } from '../../store/setup/list-plants.ts';
import type { AccessParts } from './access-parts.ts';
import { badgeOf, type Caller, holdersOf, isLetIn } from './caller.ts';
import { demoPeople, type DemoPeople } from './demo-people.ts';
import { devicesOf, type LetIn, makePairAgainCode, makePairingCode, pair, pairWithDemo, revoke } from './devices.ts';
import { addPerson, badgesOf, changePerson, linkFor, peopleOf } from './people.ts';
import type { Provider } from './provider.ts';
import { hashOf } from './secrets.ts';
import { chooseByLink, firstLink, IDLE_MS, signIn, signInByPin, signOut, type Tokens } from './sign-in.ts';
import { comeFromProvider, type Ended, goToProvider } from './sign-in-by-provider.ts';

/** Everything about who asks: people, devices, signing in, and what of it is kept. */
export interface AccessActions {
  /** Who makes a request with these tokens. */
  caller(tokens: { session: string | undefined; device: string | undefined }, source: string): Promise<Caller>;
  me(caller: Caller): Promise<Me>;
  signIn(caller: Caller, said: SignIn): Promise<Tokens>;
  signInByPin(caller: Caller, plant: string, said: PinSignIn): Promise<Tokens>;
  /** The OpenID provider by which people may sign in too. */
  provider: Pick<Provider, 'name' | 'publicUrl'> | null;
  goToProvider(caller: Caller, device: string): Promise<ProviderSignInBegun & { token: string }>;
  comeFromProvider(caller: Caller, token: string | null, query: string): Promise<Ended>;
  signOut(caller: Caller): Promise<void>;
  /** Token of a link for the first administrator while there is none, else null. */
  firstLink(): Promise<string | null>;
  chooseByLink(caller: Caller, said: NewPassword): Promise<{ login: string }>;
  pair(caller: Caller, said: Pairing): Promise<LetIn & { plant: string }>;
  pairWithDemo(caller: Caller, plant: string, device: string): Promise<LetIn & { plant: string }>;
  makePairingCode(caller: Caller, plant: string, said: PairingCode): Promise<PairingCodeReply>;
  makePairAgainCode(caller: Caller, plant: string, device: string): Promise<PairingCodeReply>;
  devices(plant: string): Promise<DeviceListed[]>;
  revoke(caller: Caller, plant: string, device: string): Promise<void>;
  people(caller: Caller, plant: string): Promise<PersonListed[]>;
  /** Who wears which badge in the plant, so that a kiosk tells a badge from a unit. */
  badges(plant: string): Promise<BadgeWorn[]>;
  addPerson(caller: Caller, plant: string, said: PersonSaid): Promise<LinkReply>;
  changePerson(caller: Caller, plant: string, person: string, said: PersonSaid): Promise<void>;
  linkFor(caller: Caller, plant: string, person: string): Promise<LinkReply>;
  audit(caller: Caller, plant: string, before: number | null): Promise<AuditListed[]>;
  /** The people of the demo plant, who are told where the program was started. */
  demoPeople(plant: string): Promise<DemoPeople>;
  /** Writes to the audit trail. */
  note: AccessParts['audit'];
  /** Calls `listener` when somebody or a device was let in or out here. */
  onChange(listener: () => void): void;
}

const SEEN_EVERY_MS = 60_000;
const AUDIT_PAGE = 200;

export function createAccess(parts: AccessParts): AccessActions {
  const sessionOf = async (token: string): Promise<Caller['session'] & { at: string } | null> => {
    const hash = hashOf(token);
    const row = await sessionByToken(parts.db, hash);
    const now = parts.now();
    if (!row || row.endedAt !== null || now >= row.expiresAt || now >= row.seenAt + IDLE_MS) return null;
    if (now - row.seenAt > SEEN_EVERY_MS) await sessionSeen(parts.db, hash, now);
    const person: PersonRights | undefined = (await parts.memory.now()).people.get(row.person);
    return person ? { person, how: row.how, hash, at: row.device } : null;
  };
  return {
    async caller(tokens, source) {
      const access = await parts.memory.now();
      const device = (tokens.device && access.byToken.get(hashOf(tokens.device).toString('hex'))) || null;
      const session = tokens.session ? await sessionOf(tokens.session) : null;
      // A session belongs to the device at which it began: its token alone, taken elsewhere, is worth nothing.
      return { device, session: session && isLetIn(device) && session.at === device.id ? session : null, source };
    },
    async me(caller) {
      const { device, session } = caller;
      const now = parts.now();
      const plants = (await listPlants(parts.db)).map(({ code }) => [code, holdersOf(caller, code, now)] as const).filter(([, holders]) => holders.length > 0);
      return {
        device: isLetIn(device) ? { code: device.code, name: device.name, plant: device.plant, stations: device.stations } : null,
        revoked: device !== null && device.until !== null && device.plant !== null ? device.name : null,
        person: session ? { name: session.person.name, badge: badgeOf(session.person), language: session.person.language, how: session.how } : null,
        plants: Object.fromEntries(plants), demo: null, provider: parts.provider?.name ?? null,
      };
    },
    signIn: (caller, said) => signIn(parts, caller, said),
    signInByPin: (caller, plant, said) => signInByPin(parts, caller, plant, said),
    provider: parts.provider,
    goToProvider: (caller, device) => goToProvider(parts, caller, device),
    comeFromProvider: (caller, token, query) => comeFromProvider(parts, caller, token, query),
    signOut: (caller) => signOut(parts, caller),
    firstLink: () => firstLink(parts),
    chooseByLink: (caller, said) => chooseByLink(parts, caller, said),
    pair: (caller, said) => pair(parts, caller, said),
    pairWithDemo: (caller, plant, device) => pairWithDemo(parts, caller, plant, device),
    makePairingCode: (caller, plant, said) => makePairingCode(parts, caller, plant, said),
    makePairAgainCode: (caller, plant, device) => makePairAgainCode(parts, caller, plant, device),
    devices: (plant) => devicesOf(parts, plant),
    revoke: (caller, plant, device) => revoke(parts, caller, plant, device),
    people: (caller, plant) => peopleOf(parts, caller, plant),
    badges: async (plant) => badgesOf(await parts.memory.now(), plant),
    addPerson: (caller, plant, said) => addPerson(parts, caller, plant, said),
    changePerson: (caller, plant, person, said) => changePerson(parts, caller, plant, person, said),
    linkFor: (caller, plant, person) => linkFor(parts, caller, plant, person),
    audit: (caller, plant, before) => listAudit(parts.db, plant, caller.session?.person.houseAdministrator ?? false, before, AUDIT_PAGE),
    demoPeople: (plant) => demoPeople(parts, plant),
    note: parts.audit,
    onChange: (listener) => parts.memory.onChange(listener),
  };
}
