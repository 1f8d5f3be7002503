import type { LinkReply, Me, PairingCodeReply, PersonListed, PersonSaid, ProviderSignInBegun } from '../../server/contract/access.ts';
import { type Holder, ROUTE_RIGHTS, type RouteName, type RouteRight } from '../../server/core/access/rights.ts';
import { ask, askJson } from './api.ts';
import { deviceId, takeDeviceId } from './device-id.ts';
import { waits } from './next-batch.ts';
import { OutboxDisk } from './outbox-disk.ts';

const KEY = 'stationhand-me';

/** Who this browser is to the server. */
export async function fetchMe(): Promise<Me> {
  const me = await askJson<Me>('/api/me');
  localStorage.setItem(KEY, JSON.stringify(me));
  return me;
}

/** Who it was when the server last said so, for a start without a network; it says what to show, never what may be done. Null: never let in. */
export function knownMe(): Me | null {
  return JSON.parse(localStorage.getItem(KEY) ?? 'null') as Me | null;
}

/** Whether overriding a gate takes a PIN here: at a kiosk at which nobody is signed in for longer than a few minutes. */
export function overridesByPin(): boolean {
  const me = knownMe();
  return (me?.device?.plant ?? null) !== null && (me?.person?.how ?? 'pin') === 'pin';
}

/** The badge of who is signed in here for longer than a few minutes: what is stated is theirs, and nobody is asked for a badge. Null for nobody. */
export function signedInBadge(): string | null {
  const person = knownMe()?.person;
  return person && person.how !== 'pin' ? person.badge : null;
}

/** Whether who is let in here may use the route, as far as is known: what to show; the server judges each request. */
export function mayUse(route: RouteName, plant: string): boolean {
  const right: RouteRight = ROUTE_RIGHTS[route];
  return typeof right === 'string' || (knownMe()?.plants[plant] ?? []).some((holder) => right.includes(holder));
}

export type LookedAfter = 'people' | 'devices' | 'audit';
export const LOOKED_AFTER: ReadonlySet<string> = new Set<LookedAfter>(['people', 'devices', 'audit']);

/** Screens by which people and devices are looked after, as far as these holders may. */
export function mayLookAfter(holders: readonly Holder[]): LookedAfter[] {
  const administers = holders.includes('administrator');
  const pairs = administers || holders.includes('supervisor');
  return [...(administers ? ['people' as const] : []), ...(pairs ? ['devices' as const] : []), ...(administers ? ['audit' as const] : [])];
}

async function letIn(path: string, body: object): Promise<void> {
  const { code } = await askJson<{ code: string }>(path, { method: 'POST', body });
  await takeDeviceId(code);
}

export const signIn = (login: string, password: string): Promise<void> => letIn('/api/sign-in', { login, password, device: deviceId() });
export const signInByPin = (plant: string, badge: string, pin: string): Promise<void> => letIn(`/api/plants/${encodeURIComponent(plant)}/pin`, { badge, pin });
/** Pairs this browser; when facts wait on its disk that it stated under an earlier id, as that. */
export async function pair(code: string): Promise<void> {
  const waiting = (await new OutboxDisk().all().catch(() => [])).filter(waits);
  const device = waiting.find(({ fact }) => fact.device !== deviceId())?.fact.device ?? deviceId();
  await letIn('/api/pair', { code, device, waiting: waiting.length > 0 });
}

export const pairWithDemo = (): Promise<void> => letIn('/api/pair-demo', { device: deviceId() });

/** The address at the OpenID provider that this browser goes to in order to sign in. */
export async function beginAtProvider(): Promise<string> {
  return (await askJson<ProviderSignInBegun>('/api/oidc/begin', { method: 'POST', body: { device: deviceId() } })).address;
}

/** Signed in at the OpenID provider: takes the id by which the server knows this device. */
export async function comeFromProvider(): Promise<Me> {
  const me = await fetchMe();
  if (me.device) await takeDeviceId(me.device.code);
  return me;
}

export async function signOut(): Promise<void> {
  await ask('/api/sign-out', { method: 'POST' });
}

/** Uses a one-time link: the password is chosen; who is the first administrator also says by which name. Returns the name to sign in by. */
export async function choosePassword(token: string, password: string, login: string | null): Promise<string> {
  const body = { token, password, ...(login === null ? {} : { login, name: login }) };
  return (await askJson<{ login: string }>('/api/links', { method: 'POST', body })).login;
}

const inPlant = (plant: string, path: string): string => `/api/plants/${encodeURIComponent(plant)}/${path}`;

export const addPerson = (plant: string, body: Partial<PersonSaid>): Promise<LinkReply> => askJson<LinkReply>(inPlant(plant, 'people'), { method: 'POST', body });

export async function changePerson(plant: string, person: string, body: Partial<PersonSaid>): Promise<void> {
  await ask(inPlant(plant, `people/${person}`), { method: 'PUT', body });
}

export const linkFor = (plant: string, person: PersonListed): Promise<LinkReply> => askJson<LinkReply>(inPlant(plant, `people/${person.id}/link`), { method: 'POST' });
export const makePairingCode = (plant: string, name: string, stations: string[] | null): Promise<PairingCodeReply> =>
  askJson<PairingCodeReply>(inPlant(plant, 'devices/codes'), { method: 'POST', body: { name, stations } });

export const makePairAgainCode = (plant: string, device: string): Promise<PairingCodeReply> => askJson<PairingCodeReply>(inPlant(plant, `devices/${device}/code`), { method: 'POST' });

export async function revokeDevice(plant: string, device: string): Promise<void> {
  await ask(inPlant(plant, `devices/${device}/revoke`), { method: 'POST' });
}
