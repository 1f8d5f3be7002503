import type { Instant, Minutes } from '../units.ts';
import type { Line, Plant, SetupVersion, Station } from './plant.ts';

/**
 * The version in force at `t`: the latest `validFrom` not after `t`, among equals the one loaded last.
 * Before the first version the earliest one holds, so that history older than the set-up can be told at all.
 * Null only when there is no version.
 */
export function setupAt(setups: readonly SetupVersion[], t: Instant): SetupVersion | null {
  let best: SetupVersion | null = null;
  let earliest: SetupVersion | null = null;
  for (const setup of setups) {
    if (earliest === null || before(setup, earliest)) earliest = setup;
    if (setup.validFrom > t) continue;
    if (best === null || before(best, setup)) best = setup;
  }
  return best ?? earliest;
}

function before(a: SetupVersion, b: SetupVersion): boolean {
  return a.validFrom < b.validFrom || (a.validFrom === b.validFrom && a.version < b.version);
}

export function findLine(plant: Plant, code: string): Line | null {
  return plant.lines.find((line) => line.code === code) ?? null;
}

/** A station of a line, or a place outside every line (`line` null). Null when the plant has no such code. */
export function findStation(plant: Plant, code: string): { line: Line | null; station: Station } | null {
  for (const line of plant.lines) {
    const station = line.stations.find((candidate) => candidate.code === code);
    if (station) return { line, station };
  }
  const place = plant.places.find((candidate) => candidate.code === code);
  return place ? { line: null, station: place } : null;
}

export interface RouteStep {
  station: string;
  /** The model's minutes and those of the unit's options there (definitions §4). */
  standard: Minutes;
}

/**
 * The stations of `line` that a unit passes, in order, each with its standard minutes. A station is on the route when
 * the model or one of the options names it. A unit whose model is unknown passes every station, at no standard.
 */
export function routeOf(plant: Plant, line: Line, model: string | null, options: readonly string[]): RouteStep[] {
  const standards = plant.models.find((candidate) => candidate.code === model)?.standards;
  const extras = plant.options.filter((option) => options.includes(option.code));
  const steps: RouteStep[] = [];
  for (const { code } of line.stations) {
    const parts = [standards?.[code], ...extras.map((option) => option.minutes[code])].filter((part) => part !== undefined);
    if (standards && parts.length === 0) continue;
    steps.push({ station: code, standard: parts.reduce((sum, part) => sum + part, 0) });
  }
  return steps;
}

/** The station after `station` on `route`: null at its end, the first one for a unit that stood nowhere yet. */
export function nextOnRoute(route: readonly RouteStep[], station: string | null): string | null {
  if (station === null) return route[0]?.station ?? null;
  const index = route.findIndex((step) => step.station === station);
  return index < 0 ? null : (route[index + 1]?.station ?? null);
}
