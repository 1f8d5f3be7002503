import { type Role, ROLES } from '../../../server/core/access/roles.ts';
import type { Holder } from '../../../server/core/access/rights.ts';
import type { DeviceListed, PersonListed } from '../../../server/contract/access.ts';
import { BY, register, stated, testHouse, type TestHouse, wire } from '../../actions/house.ts';
import { doorOf, enter, type Entered, type Entrance } from '../enter.ts';
import { fuzzedPlant } from './fuzzed-plant.ts';
import { keptState, type KeptState } from './kept-state.ts';
import type { Known } from './requests.ts';

export type Asker = Holder | 'nobody';
export const ASKERS: readonly Asker[] = [...ROLES, 'kiosk', 'nobody'];

/** A house with two plants in which something happened, and somebody of every sort to ask. */
export interface FuzzedHouse {
  house: TestHouse;
  known: Known;
  state: KeptState;
  /** What the program wrote to its log since it was last asked. */
  logged(): string[];
  who(asker: Asker): Entered | null;
  /** Lets a person in anew who signed out or in as another. */
  renew(asker: Asker): Promise<void>;
  close(): Promise<void>;
}

const SPARES = 6;
const PHOTO = '019abcde-0000-7000-8000-000000000001';

export async function fuzzedHouse(): Promise<FuzzedHouse> {
  const log: string[] = [];
  const house = await testHouse(0, { requestsAMinute: 1_000_000, log: (message) => void log.push(message) });
  for (const code of ['P', 'Q']) await house.app.actions.loadPlant(fuzzedPlant(code), 0, BY);
  const hold = stated(5, 'openHold', { unit: 'CF1', reason: 'Leak', keepsFrom: 'leaving', fromStation: null, note: '' });
  const facts = [...['CF1', 'CF2', 'CF3'].map((unit) => register(unit)), stated(0, 'arrive', { unit: 'CF1', station: 'A' }), hold, stated(9, 'recordPart', { unit: 'CF1', part: 'AXLE', number: 'N-1', lot: 'L1' }), stated(20, 'park', { unit: 'CF2', place: 'YARD', slot: '1' })];
  for (const code of ['P', 'Q']) await house.app.actions.recordFacts(code, wire(facts.map((fact, i) => ({ ...fact, id: code === 'P' ? fact.id : fact.id.replace(/.{4}$/, String(i).padStart(4, '0')) }))));
  // Whoever has no token is counted by address: many come in here.
  let came = 0;
  const entrance = await enter(doorOf(house.app, () => `10.255.${(came >> 8) & 255}.${came++ & 255}`), (await house.app.actions.access.firstLink())!);
  const entered = new Map<Asker, Entered>();
  const comeIn = async (role: Role): Promise<void> => void entered.set(role, await entrance.person(`asks-${role}`.toLowerCase(), [role]));
  for (const role of ROLES) await comeIn(role);
  entered.set('kiosk', await entrance.kiosk('asks-lead'));
  const known = await spares(house, entrance);
  const state = await keptState(house.url);
  return {
    house, state, known: { ...known, facts: facts.map(({ id }) => id) }, logged: () => log.splice(0), who: (asker) => entered.get(asker) ?? null,
    renew: async (asker) => (ROLES as readonly string[]).includes(asker) ? comeIn(asker as Role) : undefined,
    close: async () => {
      await state.close();
      await house.close();
    },
  };
}

/** People, devices, links, codes and a photo that a test can use up. */
async function spares({ app: { fastify } }: TestHouse, entrance: Entrance): Promise<Omit<Known, 'facts'>> {
  const ask = async <T>(method: 'GET' | 'POST' | 'PUT', path: string, payload?: object): Promise<T> =>
    (await fastify.inject({ method, url: `/api/plants/P${path}`, headers: entrance.admin.headers, ...(payload ? { payload } : {}) })).json<T>();
  const links: string[] = [];
  const codes: string[] = [];
  for (let n = 1; n <= SPARES; n++) {
    const { link } = await ask<{ link: string | null }>('POST', '/people', { name: `Spare ${n}`, badge: `spare-${n}`, login: `spare-${n}`, language: 'en', roles: ['worker'] });
    if (link) links.push(link.split('#')[1]!);
    codes.push((await ask<{ code: string }>('POST', '/devices/codes', { name: 'Spare', stations: null })).code);
    await entrance.kiosk(`spare-kiosk-${n}`);
  }
  const login = 'spare-login';
  await entrance.person(login, ['worker'], ['P']);
  const people = (await ask<PersonListed[]>('GET', '/people')).filter(({ badge }) => badge?.startsWith('spare-')).map(({ id }) => id);
  // The first kiosk asks; the others are spare.
  const devices = (await ask<DeviceListed[]>('GET', '/devices')).toSorted((a, b) => a.pairedAt - b.pairedAt).slice(1).map(({ id }) => id);
  await entrance.kiosk('spare-photos').then(({ headers }) => fastify.inject({ method: 'PUT', url: `/api/plants/P/photos/${PHOTO}`, headers: { ...headers, 'content-type': 'image/jpeg' }, payload: SMALL }));
  return { people, devices, photo: PHOTO, links, codes, login, password: 'a long phrase for tests' };
}

const SMALL = Buffer.from('ffd8ffc0000b080001000101011100ffda0008010100003f000102ffd9', 'hex');
