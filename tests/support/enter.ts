import type { App } from '../../server/app.ts';
import { type Role, ROLES } from '../../server/core/access/roles.ts';

/** Sends a request to the program, in this process or another, and tells what came back. */
export interface Door {
  send(method: 'GET' | 'POST' | 'PUT', path: string, body: unknown, headers: Record<string, string>): Promise<{ status: number; body: string; cookies: string[] }>;
}

/** A browser that the program knows: the headers of its requests, and the code that its facts carry. */
export interface Entered {
  headers: { cookie: string };
  device: string;
  badge: string;
}

/** The cookies that the program at `address` gave. */
export function cookiesOf({ headers }: Entered, address: string): { name: string; value: string; url: string; httpOnly: boolean; sameSite: 'Strict' }[] {
  const cookies = headers.cookie.split('; ').map((cookie) => ({ name: cookie.slice(0, cookie.indexOf('=')), value: cookie.slice(cookie.indexOf('=') + 1) }));
  return cookies.map((cookie) => ({ ...cookie, url: new URL(address).origin, httpOnly: true, sameSite: 'Strict' as const }));
}

export interface Entrance {
  /** The first administrator of the house, signed in. */
  admin: Entered;
  /** A person with `roles` in `plants` (left out: every one there is), signed in at a desk. */
  person(badge: string, roles?: readonly Role[], plants?: readonly string[]): Promise<Entered>;
  /** A kiosk paired for `stations` (null: every one); `roles` are given to the wearer of `badge`, who does not sign in. */
  kiosk(badge: string, roles?: readonly Role[], stations?: string[] | null, plant?: string): Promise<Entered>;
}

const saidOf = (badge: string, login: string | null, roles: readonly Role[]): object => ({ name: `Wearer of ${badge}`, login, badge, language: 'en', roles });
const PASSWORD = 'a long phrase for tests';
let entered = 0;

/** `address`: where each request comes from; left out, from this machine. */
export function doorOf({ fastify }: App, address?: () => string): Door {
  return {
    async send(method, url, body, headers) {
      const reply = await fastify.inject({ method, url, headers, ...(address ? { remoteAddress: address() } : {}), ...(body === undefined ? {} : { payload: body as object }) });
      return { status: reply.statusCode, body: reply.body, cookies: [reply.headers['set-cookie'] ?? []].flat() };
    },
  };
}

export function doorAt(origin: string): Door {
  return {
    async send(method, path, body, headers) {
      const type: Record<string, string> = body === undefined ? {} : { 'content-type': 'application/json' };
      const reply = await fetch(`${origin}${path}`, { method, headers: { ...headers, ...type }, ...(body === undefined ? {} : { body: JSON.stringify(body) }) });
      return { status: reply.status, body: await reply.text(), cookies: reply.headers.getSetCookie() };
    },
  };
}

/** Comes into the house as its first administrator does: by the one-time link's token, a password and signing in. */
export async function enter(door: Door, firstToken: string): Promise<Entrance> {
  const ask = async <T>(path: string, body: unknown, headers: Record<string, string> = {}): Promise<{ json: T; cookie: string }> => {
    const reply = await door.send('POST', path, body, headers);
    if (reply.status >= 300) throw new Error(`${path}: ${reply.status} ${reply.body}`);
    return { json: (reply.body === '' ? null : JSON.parse(reply.body)) as T, cookie: reply.cookies.map((cookie) => cookie.split(';')[0]).join('; ') };
  };
  const signIn = async (login: string): Promise<Entered> => {
    const { json, cookie } = await ask<{ code: string }>('/api/sign-in', { login, password: PASSWORD, device: `test-device-${entered++}` });
    return { headers: { cookie }, device: json.code, badge: login };
  };
  await ask('/api/links', { token: firstToken, login: 'admin', password: PASSWORD, name: 'Administrator' });
  const admin = await signIn('admin');
  const known = new Map<string, string>();
  const add = async (badge: string, login: string | null, roles: readonly Role[], plant: string): Promise<{ id: string; link: string | null }> => {
    const { json } = await ask<{ id: string; link: string | null }>(`/api/plants/${plant}/people`, saidOf(badge, login, roles), admin.headers);
    known.set(badge, json.id);
    return json;
  };
  return {
    admin,
    async person(badge, roles = ROLES, plants) {
      const [first = 'P', ...others] = plants ?? (JSON.parse((await door.send('GET', '/api/plants', undefined, admin.headers)).body) as { code: string }[]).map(({ code }) => code);
      if (!known.has(badge)) await add(badge, null, roles, first);
      for (const plant of [first, ...others]) await door.send('PUT', `/api/plants/${plant}/people/${known.get(badge)}`, saidOf(badge, badge, roles), admin.headers);
      const { link } = (await ask<{ link: string }>(`/api/plants/${first}/people/${known.get(badge)}/link`, undefined, admin.headers)).json;
      await ask('/api/links', { token: link.split('#')[1], password: PASSWORD });
      return signIn(badge);
    },
    async kiosk(badge, roles = ['lead'], stations = null, plant = 'P') {
      if (!known.has(badge)) await add(badge, null, roles, plant);
      const { json } = await ask<{ code: string }>(`/api/plants/${plant}/devices/codes`, { name: 'Kiosk', stations }, admin.headers);
      const paired = await ask<{ code: string }>('/api/pair', { code: json.code, device: `test-device-${entered++}` });
      return { headers: { cookie: paired.cookie }, device: paired.json.code, badge };
    },
  };
}
