import { z } from 'zod';
import type { Holder } from '../core/access/rights.ts';
import { type Role, ROLES, type SignedInBy } from '../core/access/roles.ts';
import type { Instant } from '../core/units.ts';
import { name, text } from './shapes.ts';

const token = z.string().min(1).max(200);
/** ASVS 4.0, 2.1.1 and 2.1.2: at least 12 characters, more than 128 are refused. */
const newPassword = z.string().min(12, 'needs at least 12 characters').max(128, 'has more than 128 characters');
const pin = z.string().regex(/^\d{4,8}$/, 'has 4 to 8 digits');
const login = z.string().trim().toLowerCase().regex(/^[\p{L}\p{N}._@-]{2,100}$/u, 'has 2 to 100 letters, digits and . _ @ -');
const stations = z.array(name).min(1).max(500).nullable();

/** Body of POST /api/sign-in. `device` is the id this browser made for itself. The name stands in the audit trail when it is refused. */
export const signInBody = z.object({ login: text.max(100), password: z.string().max(200), device: name });
export type SignIn = z.output<typeof signInBody>;

/**
 * `pins` of POST …/facts, by the id of a fact: shows that the wearer of its badge stated it, where a badge is not enough. Nothing of it is kept. A kiosk
 * without a network has nobody to ask, so it sends the PIN with the fact once there is one.
 */
export const PINS_LIMIT = 5;
export const pinsSchema = z.record(z.string().max(100), z.string().max(20)).refine((pins) => Object.keys(pins).length <= PINS_LIMIT, `has more than ${PINS_LIMIT} PINs`).default({});

/** Body of POST /api/plants/:plant/pin. */
export const pinBody = z.object({ badge: name, pin: z.string().max(20) });
export type PinSignIn = z.output<typeof pinBody>;

/** Body of POST /api/links: a one-time link's token and the password; the first administrator also says who it is. */
export const linkBody = z.object({ token, password: newPassword, login: login.optional(), name: name.optional() });
export type NewPassword = z.output<typeof linkBody>;

/** Body of POST /api/pair. `waiting`: facts wait on this browser's disk under the id `device`. */
export const pairBody = z.object({ code: z.string().max(40), device: name, waiting: z.boolean().default(false) });
export type Pairing = z.output<typeof pairBody>;
export const pairDemoBody = z.object({ device: name });

/** Body of POST /api/oidc/begin. */
export const providerSignInBody = z.object({ device: name });
export interface ProviderSignInBegun {
  /** Where the browser goes to sign in. */
  address: string;
}

/** How a sign-in by the OpenID provider ended, as the address of the sign-in screen says after `provider=`. */
export const PROVIDER_OUTCOMES = ['signedIn', 'unknownPerson', 'left', 'noLogin', 'cancelled', 'expired', 'notVerified', 'providerAway', 'providerSettings', 'tooMany', 'failed'] as const;
export type ProviderOutcome = (typeof PROVIDER_OUTCOMES)[number];

/** Body of POST …/devices/codes. `stations` null: every station of the plant. */
export const pairingCodeBody = z.object({ name, stations });
export type PairingCode = z.output<typeof pairingCodeBody>;
export interface PairingCodeReply {
  code: string;
  until: Instant;
}

/** Body of POST …/people, and of PUT …/people/:person, where a `pin` left out stays. */
export const personBody = z.object({
  name, login: login.nullable(), badge: name, pin: pin.nullable().optional(), language: z.enum(['en', 'es']), roles: z.array(z.enum(ROLES)).max(ROLES.length), left: z.boolean().default(false),
});
export type PersonSaid = z.output<typeof personBody>;

/** One entry of GET …/badges. */
export interface BadgeWorn {
  code: string;
  name: string;
  language: 'en' | 'es';
}

export interface PersonListed {
  id: string;
  name: string;
  login: string | null;
  badge: string | null;
  language: 'en' | 'es';
  roles: Role[];
  hasPin: boolean;
  hasPassword: boolean;
  left: boolean;
}

/** Answer to what gives a person a link: its path with the token, shown once. */
export interface LinkReply {
  id: string;
  link: string | null;
}

export interface DeviceListed {
  id: string;
  code: string;
  name: string;
  stations: string[] | null;
  pairedAt: Instant;
  pairedBy: string | null;
  revokedAt: Instant | null;
}

export interface AuditListed {
  id: number;
  at: Instant;
  what: string;
  who: string;
  device: string;
  source: string;
  detail: Record<string, unknown>;
}

/** Answer of GET /api/me, of signing in and of pairing: who this browser is to the server. */
export interface Me {
  device: { code: string; name: string; plant: string | null; stations: readonly string[] | null } | null;
  /** What this browser was called when it was a kiosk, where it was let out since; null where it never was one, or is let in. */
  revoked: string | null;
  person: { name: string; badge: string; language: 'en' | 'es'; how: SignedInBy } | null;
  /** Whose rights it has, by plant. */
  plants: Record<string, Holder[]>;
  /** The demo plant that this browser may pair with by a touch. */
  demo: string | null;
  /** What the OpenID provider is called by which people may sign in too; null: there is none. */
  provider: string | null;
}
