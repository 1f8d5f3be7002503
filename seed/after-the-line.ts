import type { Minutes } from '../server/core/units.ts';
import { settleItems } from './quality.ts';
import { leavePlace, type Sim, type SimUnit } from './simulate.ts';

/** Off the main line: on the load of a truck, touch-up, then inspection. Off the inspection line: released, for the truck. */
export function afterTheLine(sim: Sim, unit: SimUnit): void {
  const inspection = sim.plant.lines.find((line) => line.purpose === 'inspection');
  const toInspection = unit.line.purpose === 'main' && inspection !== undefined;
  leavePlace(sim, unit);
  park(sim, unit, toInspection && sim.chance.next() < 0.35 ? 'TOUCH' : 'YARD');
  if (unit.line.purpose === 'main') sim.trucks.join(unit);
  if (toInspection) {
    unit.line = inspection;
    unit.station = null;
    later(sim, 15 + sim.chance.exponential(70), () => sim.goOn(unit));
    return;
  }
  later(sim, 15 + sim.chance.exponential(60), () => release(sim, unit));
}

function park(sim: Sim, unit: SimUnit, place: string): void {
  const slot = String(1 + Math.floor(sim.chance.next() * (place === 'YARD' ? 90 : 12)));
  sim.writer.state('park', sim.instant(), place, { unit: unit.unit, place, slot });
}

function release(sim: Sim, unit: SimUnit): void {
  if (unit.openShorts > 0 || unit.openHolds > 0) return later(sim, 60, () => release(sim, unit));
  sim.inspection.findings.closeAll(sim, unit);
  settleItems(sim, unit);
  sim.writer.state('release', sim.instant(), 'office', { unit: unit.unit });
  unit.released = true;
}

function later(sim: Sim, minutes: Minutes, run: () => void): void {
  sim.events.at(sim.events.now() + minutes, run);
}
