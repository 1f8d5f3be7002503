import { errorReply } from './errors.ts';
import type { ErrorReply } from './errors.ts';

export const WHO_HEADER = 'stationhand-who';
export const DEVICE_HEADER = 'stationhand-device';

/** Who makes a request, and from which device: badge code and device code, 1 to 100 characters each. */
export interface Identity {
  who: string;
  device: string;
}

/** What a socket gives as `auth` when it connects. */
export interface SocketIdentity extends Identity {
  plant: string;
}

/** Longest badge or device code, in characters. */
export const CODE_LIMIT = 100;

/** Tells whether `value` can be a badge, device or plant code. */
export function isCode(value: unknown): value is string {
  return typeof value === 'string' && value.trim() === value && value.length > 0 && value.length <= CODE_LIMIT;
}

/**
 * The identity in the headers of a request, by lower-case name, or the reply `noIdentity`. Header values travel
 * percent-encoded, so that a name outside ASCII can be sent; a value without a percent sign reads as it is.
 */
export function readIdentity(headers: Record<string, unknown>): { identity: Identity } | { problem: ErrorReply } {
  const who = decodeHeader(headers[WHO_HEADER]);
  const device = decodeHeader(headers[DEVICE_HEADER]);
  if (!isCode(who)) return { problem: errorReply('noIdentity', { where: `header ${WHO_HEADER}` }) };
  if (!isCode(device)) return { problem: errorReply('noIdentity', { where: `header ${DEVICE_HEADER}` }) };
  return { identity: { who, device } };
}

/** The headers that carry `identity`. */
export function identityHeaders(identity: Identity): Record<string, string> {
  return { [WHO_HEADER]: encodeURIComponent(identity.who), [DEVICE_HEADER]: encodeURIComponent(identity.device) };
}

/** The identity in a socket's `auth`, or null. */
export function readSocketIdentity(auth: unknown): SocketIdentity | null {
  if (typeof auth !== 'object' || auth === null) return null;
  const { who, device, plant } = auth as Record<string, unknown>;
  return isCode(who) && isCode(device) && isCode(plant) ? { who, device, plant } : null;
}

function decodeHeader(value: unknown): unknown {
  if (typeof value !== 'string') return value;
  try {
    return decodeURIComponent(value).trim();
  } catch {
    return value.trim();
  }
}
