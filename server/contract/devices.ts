import type { Instant } from '../core/units.ts';
import { CODE_LIMIT } from './identity.ts';

/** What a kiosk says of itself. */
export interface DeviceState {
  /** The station whose screen it shows, or '' for a screen without one. */
  station: string;
  /** Facts on its disk that the server has not acknowledged, and since when by the oldest of them. */
  unsent: number;
  oldest: Instant | null;
  /** Milliseconds that it adds to its own clock to have the server's; null while it never heard the server. */
  clockAhead: number | null;
}

/** A kiosk as the server last heard of it. */
export interface DeviceRow extends DeviceState {
  device: string;
  who: string;
  /** Whether it listens now, and when it was last heard. */
  connected: boolean;
  heard: Instant;
}

const WHOLE = (value: unknown): value is number => typeof value === 'number' && Number.isSafeInteger(value);

/** The state in what a socket sent, or null when it is not of that form. */
export function readDeviceState(value: unknown): DeviceState | null {
  if (typeof value !== 'object' || value === null) return null;
  const { station, unsent, oldest, clockAhead } = value as Record<string, unknown>;
  if (typeof station !== 'string' || station.length > CODE_LIMIT || !WHOLE(unsent) || unsent < 0) return null;
  if ((oldest !== null && !WHOLE(oldest)) || (clockAhead !== null && !WHOLE(clockAhead))) return null;
  return { station, unsent, oldest, clockAhead };
}

/** Kiosks that are behind: those that hold facts back, and those that were at a station and are not heard any more. Longest behind first. */
export function behind(rows: readonly DeviceRow[]): DeviceRow[] {
  const since = (row: DeviceRow): Instant => row.oldest ?? row.heard;
  return rows.filter(({ unsent, station, connected }) => unsent > 0 || (station !== '' && !connected)).toSorted((a, b) => since(a) - since(b));
}
