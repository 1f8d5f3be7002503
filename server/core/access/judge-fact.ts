import type { Fact } from '../facts/fact.ts';
import type { Instant } from '../units.ts';
import { FACT_RIGHTS, type FactRight, rightsFor, VOIDS_OF_OTHERS } from './rights.ts';
import { covers, type DeviceRights, type PersonRights, rolesAt, type SessionSpan } from './roles.ts';

/** Why a fact is refused. */
export type NoRight = 'otherDevice' | 'notPaired' | 'otherStation' | 'unknownBadge' | 'noRole' | 'notSignedIn' | 'wrongPin' | 'voidOfOthers';

export interface Judged {
  plant: string;
  now: Instant;
  /** The code of the device that sends. */
  device: string;
  /** Every time that this device was let in. */
  lettingsIn: readonly DeviceRights[];
  /** Who was signed in at this device, and when. */
  sessions: readonly SessionSpan[];
  /** Whether the PIN that came with a fact, by its id, was that of its badge. */
  pins: ReadonlyMap<string, boolean>;
  /** The person who ever wore a badge. */
  wearer(badge: string): PersonRights | null;
  /** The device that stated a fact, null where the log does not have it. */
  statedBy(fact: string): string | null;
}

/** Milliseconds since 1970 in the first 48 bits of a UUID of version 7 (RFC 9562, 5.7). */
const STAMP_DIGITS = 12;

/** The instant in an id of version 7. */
export function stampOf(id: string): Instant {
  return parseInt(id.replaceAll('-', '').slice(0, STAMP_DIGITS), 16);
}

/**
 * When a fact was stated: the instant that it names, or, where a person said that instant ("it was at 10:05"), when it was said, which
 * its id holds. Nothing is stated later than now, whatever a clock says.
 */
export function statedAt({ id, happened, told }: Fact, now: Instant): Instant {
  return Math.min(now, told ? stampOf(id) : happened);
}

/**
 * Null when whoever stated `fact` had the right to when it happened (definitions §2), else why not. What a kiosk did before it was revoked
 * still counts, and so does what a person did before a role ended.
 */
export function judgeFact(fact: Fact, judged: Judged): NoRight | null {
  const { plant, now, device } = judged;
  if (fact.device !== device) return 'otherDevice';
  const at = statedAt(fact, now);
  const person = judged.wearer(fact.who);
  if (!person || !person.badges.some((badge) => badge.code === fact.who && covers(badge, at))) return 'unknownBadge';
  const pin = judged.pins.get(fact.id) ?? null;
  if (pin === false) return 'wrongPin';
  const here = judged.lettingsIn.filter((letting) => covers(letting, at));
  const kiosks = here.filter((letting) => letting.plant === plant);
  const inSession = here.length > 0 && judged.sessions.some((session) => session.person === person.id && (covers(session, at) || covers(session, now)));
  const signedIn = inSession || (pin === true && kiosks.length > 0);
  if (kiosks.length === 0 && !signedIn) return 'notPaired';
  const roles = rolesAt(person, plant, at);
  const has = (right: FactRight): boolean => right.roles.some((role) => roles.includes(role));
  if (!rightsFor(fact).every(has)) {
    // Production control corrects what the office stated, with no right on the floor.
    if (fact.kind !== 'void' || !has(VOIDS_OF_OTHERS)) return 'noRole';
    if (!signedIn) return 'notSignedIn';
  }
  if (signedIn) return fact.kind === 'void' && !has(VOIDS_OF_OTHERS) && !isOwn(fact.fact, judged) ? 'voidOfOthers' : null;
  if (!FACT_RIGHTS[fact.kind].badge) return 'notSignedIn';
  if (fact.kind === 'void' && !isOwn(fact.fact, judged)) return 'voidOfOthers';
  const station = 'station' in fact ? fact.station : null;
  return station === null || kiosks.some(({ stations }) => stations === null || stations.includes(station)) ? null : 'otherStation';
}

function isOwn(fact: string, { device, statedBy }: Judged): boolean {
  return statedBy(fact) === device;
}
