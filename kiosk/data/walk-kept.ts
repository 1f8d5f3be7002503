import type { Walk } from './walk.ts';

const key = (plant: string): string => `stationhand-walk-${plant}`;

/** The walk of `plant` that this device keeps, or null. */
export function keptWalk(plant: string): Walk | null {
  try {
    const kept = JSON.parse(localStorage.getItem(key(plant)) ?? 'null') as Partial<Walk> | null;
    if (!kept || typeof kept.started !== 'number' || !Array.isArray(kept.passed)) return null;
    return { started: kept.started, ended: typeof kept.ended === 'number' ? kept.ended : null, passed: kept.passed.map(String) };
  } catch {
    return null;
  }
}

export function keepWalk(plant: string, walk: Walk): void {
  localStorage.setItem(key(plant), JSON.stringify(walk));
}
