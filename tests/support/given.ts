import type { Fact, FactKind } from '../../server/core/facts/fact.ts';
import type { Line, Plant, SetupVersion, Station } from '../../server/core/setup/plant.ts';
import type { Instant } from '../../server/core/units.ts';

/** Minute 0 of the examples: a Monday at 00:00 UTC. */
export const MONDAY: Instant = Date.parse('2026-06-01T00:00:00Z');

export const minute = (m: number): Instant => Math.round(MONDAY + m * 60_000);

export function aStation(code: string, more: Partial<Station> = {}): Station {
  return { code, name: code, kind: 'build', hall: 'H1', floor: null, capacity: 1, placeLength: null, unitsMayPass: true, plannedHeads: 2, calendar: null, ...more };
}

export function aLine(stations: Station[], more: Partial<Line> = {}): Line {
  return { code: 'MAIN', name: 'Main', purpose: 'main', roll: 'asReady', calendar: 'always', pace: 30, stations, ...more };
}

/** A plant that works round the clock, in UTC, with one line and a yard. */
export function aPlant(line: Line, standards: Record<string, number>, more: Partial<Plant> = {}): Plant {
  const always = { name: 'All day', start: '00:00', end: '24:00', breaks: [], weekdays: ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const };
  return {
    code: 'P', name: 'Plant', timeZone: 'UTC', halls: [{ code: 'H1', name: 'Hall 1', floors: [] }],
    calendars: [{ code: 'always', shifts: [{ ...always, weekdays: [...always.weekdays] }], exceptions: [] }],
    lines: [line], places: [aStation('YARD', { kind: 'yard', capacity: 50 })],
    models: [{ code: 'M', name: 'M', length: 8, standards }], options: [], ...more,
  };
}

export const setupOf = (plant: Plant): SetupVersion[] => [{ version: 1, validFrom: 0, plant }];

type Own<K extends FactKind> = Omit<Extract<Fact, { kind: K }>, keyof Base | 'kind'>;
interface Base { id: string; happened: Instant; told: boolean; who: string; device: string; counter: number; corrected?: number }

let stated = 0;

/** A fact of `kind` at minute `m`, stated by one device in the order of the calls. */
export function at<K extends FactKind>(m: number, kind: K, own: Own<K>, base: Partial<Base> = {}): Extract<Fact, { kind: K }> {
  stated++;
  const made = { id: `f${String(stated).padStart(6, '0')}`, happened: minute(m), told: false, who: 'badge-1', device: 'kiosk-1', counter: stated, ...base };
  return { ...made, kind, ...own } as unknown as Extract<Fact, { kind: K }>;
}

export function registered(unit: string, more: Partial<Own<'register'>> = {}): Fact {
  const own = { unit, model: 'M', options: [], order: 'SO-1', dealer: 'Dealer 01', sequence: 1, plannedRelease: null, wish: null, promise: '2026-06-05' };
  return at(-1_000, 'register', { ...own, ...more });
}
