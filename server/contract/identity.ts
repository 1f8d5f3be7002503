/** Who changed something, and from which device: badge code and device code, 1 to 100 characters each. */
export interface Identity {
  who: string;
  device: string;
}

/** Cookies that no script reads: who is signed in, and which device this is. */
export const SESSION_COOKIE = 'stationhand-session';
export const DEVICE_COOKIE = 'stationhand-device';
/** Lives while its browser is at the OpenID provider. */
export const PROVIDER_COOKIE = 'stationhand-provider';
/** The device's token as a header, for what is no browser. */
export const DEVICE_HEADER = 'stationhand-device-token';

/** Longest badge, device or plant code, in characters. */
export const CODE_LIMIT = 100;

/** Tells whether `value` can be a badge, device or plant code. */
export function isCode(value: unknown): value is string {
  return typeof value === 'string' && value.trim() === value && value.length > 0 && value.length <= CODE_LIMIT;
}

/** What a socket gives as `auth` when it connects: which plant it listens to. Null when it gives none. */
export function readSocketPlant(auth: unknown): string | null {
  return codeIn(auth, 'plant');
}

/** The badge that is worn at a kiosk, as it says itself; null when it says none. For those who look for a kiosk: no right follows from it. */
export function readSocketBadge(auth: unknown): string | null {
  return codeIn(auth, 'who');
}

function codeIn(auth: unknown, field: string): string | null {
  const said: unknown = typeof auth === 'object' && auth !== null && Object.hasOwn(auth, field) ? (auth as Record<string, unknown>)[field] : null;
  return isCode(said) ? said : null;
}
