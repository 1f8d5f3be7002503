import { StationhandError } from '../../contract/errors.ts';
import type { Identity } from '../../contract/identity.ts';
import type { Holder } from '../../core/access/rights.ts';
import { type DeviceRights, type PersonRights, rolesAt, type SignedInBy } from '../../core/access/roles.ts';
import type { Instant } from '../../core/units.ts';

/** Who asks, as the server knows it from the tokens of the request. */
export interface Caller {
  /** The device whose token it is, let in or not any more. */
  device: DeviceRights | null;
  session: { person: PersonRights; how: SignedInBy; hash: Buffer } | null;
  /** The address that the request came from. */
  source: string;
}

export function isLetIn(device: DeviceRights | null): device is DeviceRights {
  return device !== null && device.until === null;
}

/** Whose rights the caller has in `plant`. */
export function holdersOf({ device, session }: Caller, plant: string, now: Instant): Holder[] {
  const kiosk: Holder[] = isLetIn(device) && device.plant === plant ? ['kiosk'] : [];
  return session ? [...kiosk, ...rolesAt(session.person, plant, now)] : kiosk;
}

/** The plants that the caller sees anything of; null: every one. */
export function plantsOf({ device, session }: Caller): Set<string> | null {
  if (session?.person.houseAdministrator) return null;
  const plants = new Set((session?.person.roles ?? []).filter(({ until }) => until === null).map(({ plant }) => plant));
  if (isLetIn(device) && device.plant !== null) plants.add(device.plant);
  return plants;
}

export function badgeOf(person: PersonRights): string {
  return person.badges.find(({ until }) => until === null)?.code ?? person.name;
}

/** Who changes something and from which device. Throws `noIdentity` when nobody is signed in. */
export function identityOf({ device, session }: Caller): Identity {
  if (!session || !device) throw new StationhandError('noIdentity');
  return { who: badgeOf(session.person), device: device.code };
}
