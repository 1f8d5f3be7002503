import { LISTED_SCREENS, type ListedScreen } from '../../server/contract/screens.ts';

/** The listed screens, and that of a unit. */
export type ScreenName = ListedScreen | 'unit';
const SCREENS: readonly ScreenName[] = [...LISTED_SCREENS, 'unit'];

/** What the address says: which screen of which plant. `screen` null is the list of plants. */
export interface ScreenParams {
  plant: string;
  screen: ScreenName | null;
  /** Serial, on the unit screen only. */
  unit: string;
  /** What stands after `?`, such as `at`, a station's code. */
  query: Record<string, string>;
}

/** Reads an address. Null when there is no such page. */
export function parseRoute(path: string, search: string): ScreenParams | null {
  const parts = path.split('/').filter((part) => part !== '').map(decode);
  const query = Object.fromEntries(new URLSearchParams(search));
  const [plant, screen, unit, ...rest] = parts;
  if (plant === undefined) return { plant: '', screen: null, unit: '', query };
  if (screen === undefined) return { plant, screen: null, unit: '', query };
  const name = SCREENS.find((candidate) => candidate === screen);
  if (!name || rest.length > 0 || (unit !== undefined && name !== 'unit')) return null;
  if (name === 'unit' && unit === undefined) return null;
  return { plant, screen: name, unit: unit ?? '', query };
}

export function stationPath(plant: string, station: string): string {
  return `/${encodeURIComponent(plant)}/station?at=${encodeURIComponent(station)}`;
}

export function unitPath(plant: string, unit: string): string {
  return `/${encodeURIComponent(plant)}/unit/${encodeURIComponent(unit)}`;
}

export function screenPath(plant: string, screen: ListedScreen): string {
  return `/${encodeURIComponent(plant)}/${screen}`;
}

/** Addresses of no plant: where a person signs in or a kiosk is paired, and where a one-time link leads. */
export function isSignInPath(path: string): boolean {
  return path === '/sign-in' || path === '/link';
}

export function signInPath(backTo: string): string {
  return `/sign-in?to=${encodeURIComponent(backTo)}`;
}

/** A screen of quality for a unit, at a station; '' for none. */
export function qualityPath(plant: string, screen: ListedScreen, of: { unit?: string; at?: string }): string {
  const query = new URLSearchParams(Object.entries(of).filter(([, value]) => value !== '')).toString();
  return `${screenPath(plant, screen)}${query === '' ? '' : `?${query}`}`;
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
