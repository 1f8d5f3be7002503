import type { Minutes } from '../units.ts';
import type { PlannedPlace } from './as-ready.ts';
import type { ComingUnit, LineState } from './line-state.ts';

interface Placed {
  unit: ComingUnit;
  j: number;
}

/**
 * Projection at standard of a line that rolls together (definitions §5): a roll happens at the latest of all finishes on the line and the
 * planned release of the unit that enters with it. With none to release, the place stays empty. A unit off the line comes back once
 * its next station stands empty after those on the line have moved, so behind those that passed it.
 */
export function projectTogether(state: LineState): Map<string, PlannedPlace[]> {
  const projected = new Map<string, PlannedPlace[]>(state.units.map((unit) => [unit.unit, []]));
  const waiting = state.units.filter((unit) => unit.reached < 0);
  let offLine = state.units.filter((unit) => unit.reached >= 0 && !unit.here);
  let onLine: Placed[] = [];
  const arrive = (unit: ComingUnit, j: number, at: Minutes, toDo: Minutes): void => {
    const step = unit.route[j];
    if (!step) return;
    projected.get(unit.unit)!.push({ station: step.station.code, arrive: at, finish: at + toDo, leave: at + toDo });
    onLine.push({ unit, j });
  };
  const bringBack = (at: Minutes): void => {
    offLine = offLine.filter((unit) => {
      const step = unit.route[unit.reached + 1]!;
      const standing = onLine.filter((other) => other.unit.route[other.j]!.station.code === step.station.code).length;
      if (standing >= (step.station.capacity ?? 1)) return true;
      arrive(unit, unit.reached + 1, at, step.standard);
      return false;
    });
  };
  for (const unit of state.units) if (unit.here) arrive(unit, unit.reached, 0, unit.toDo);
  bringBack(0);
  let last: Minutes = state.lastRelease ?? Number.NEGATIVE_INFINITY;
  while (onLine.length > 0 || waiting.length > 0) {
    const entering = waiting.shift();
    const release = entering ? Math.max(0, entering.plannedRelease ?? (Number.isFinite(last) ? last + state.line.pace : 0)) : 0;
    const roll = Math.max(release, ...onLine.map(({ unit }) => projected.get(unit.unit)!.at(-1)!.finish));
    const moving = onLine;
    onLine = [];
    for (const { unit, j } of moving) {
      projected.get(unit.unit)!.at(-1)!.leave = roll;
      arrive(unit, j + 1, roll, unit.route[j + 1]?.standard ?? 0);
    }
    if (entering) {
      arrive(entering, 0, roll, entering.route[0]?.standard ?? 0);
      last = roll;
    }
    bringBack(roll);
  }
  return projected;
}
