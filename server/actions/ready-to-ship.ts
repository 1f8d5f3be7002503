import type { FoldedUnit } from '../core/facts/fold-unit.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import { lateness } from '../core/late.ts';
import type { Line, Plant } from '../core/setup/plant.ts';
import { findLine, findStation, routeOf } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import type { LateRow } from '../contract/snapshot.ts';
import type { PlantMemory } from './plant-memory.ts';

/** The main or inspection line whose end the unit goes to: the one it was on last, else the first main line of its route. */
export function lineOfUnit(plant: Plant, state: UnitState): Line | null {
  const code = state.place?.line ?? (state.lastStation === null ? null : findStation(plant, state.lastStation)?.line?.code);
  if (code) return findLine(plant, code);
  return plant.lines.find((line) => line.purpose === 'main' && routeOf(plant, line, state.model, state.options).length > 0) ?? null;
}

/**
 * When the unit is, or at standard will be, ready to ship: its line's end, then every inspection line that it has not been on, at standard and
 * on that line's calendar, nobody waiting before it. The release stands for one that is released. Infinity where a calendar has no time ahead.
 */
export function readyToShip(memory: PlantMemory, plant: Plant, unit: FoldedUnit, exit: Instant | null, at: Instant): Instant | null {
  const { state, history } = unit;
  if (state.stage === 'cancelled') return null;
  if (state.released !== null) return state.released;
  if (state.shipped !== null) return state.shipped;
  const beyond = state.stage === 'yard' || (state.stage === 'offLine' && exit === null) ? at : exit;
  if (beyond === null) return null;
  let ready = beyond;
  for (const line of plant.lines) {
    if (line.purpose !== 'inspection' || history.stays.some((stay) => stay.line === line.code)) continue;
    const standard = routeOf(plant, line, state.model, state.options).reduce((sum, step) => sum + step.standard, 0);
    if (!Number.isFinite(ready)) return ready;
    ready = memory.workingTime(line.code, null).addWorking(ready, standard);
  }
  return ready;
}

/** How late the unit is against its promise when ready at `ready`; null without a promise. */
export function lateRow(memory: PlantMemory, plant: Plant, state: UnitState, ready: Instant | null, at: Instant): LateRow | null {
  const line = plant.lines.find(({ purpose }) => purpose === 'main') ?? plant.lines[0];
  if (state.promise === null || ready === null || !line) return null;
  const time = memory.workingTime(line.code, null);
  // Not ready by now is all that can be said where the calendar ends.
  const told = lateness(state.promise, plant.timeZone, Number.isFinite(ready) ? ready : at, time);
  return { promise: state.promise, ...told };
}

