import type { Instant } from '../units.ts';

/** What a person is in a plant. */
export const ROLES = ['lead', 'worker', 'inspector', 'supervisor', 'quality', 'productionControl', 'administrator'] as const;
export type Role = (typeof ROLES)[number];

/** How a person showed who they are: by name and password, by badge and PIN, or at the plant's OpenID provider. */
export type SignedInBy = 'password' | 'pin' | 'provider';

/** A stretch of time; `until` null: it goes on. */
export interface Span {
  from: Instant;
  until: Instant | null;
}

/** What is known of a person when a right is judged. */
export interface PersonRights {
  id: string;
  name: string;
  language: 'en' | 'es';
  houseAdministrator: boolean;
  roles: (Span & { plant: string; role: Role })[];
  badges: (Span & { code: string })[];
}

/** One time that a device was let in: a kiosk of `plant`, or a desk where it is null. `stations` null: every one of the plant. */
export interface DeviceRights extends Span {
  id: string;
  code: string;
  plant: string | null;
  name: string;
  stations: readonly string[] | null;
}

/** A stretch in which a person was signed in at a device. */
export interface SessionSpan extends Span {
  person: string;
}

/**
 * A device's clock and the server's may differ by so much: a right counts from this much before it was given. Five minutes is the usual
 * allowance of Kerberos (RFC 4120; from memory).
 */
export const CLOCK_SKEW_MS = 5 * 60_000;

export function covers({ from, until }: Span, at: Instant): boolean {
  return at >= from - CLOCK_SKEW_MS && (until === null || at < until);
}

/** The roles of `person` in `plant` at `at`. An administrator of the house is one of every plant. */
export function rolesAt(person: PersonRights, plant: string, at: Instant): Role[] {
  const roles = person.roles.filter((given) => given.plant === plant && covers(given, at)).map(({ role }) => role);
  return person.houseAdministrator && !roles.includes('administrator') ? [...roles, 'administrator'] : roles;
}
