import type { SetupVersion } from '../setup/plant.ts';
import { findLine, findStation, setupAt } from '../setup/setup-at.ts';
import type { Fact, Roll, UnitFact } from './fact.ts';
import { compareFacts } from './order.ts';

interface LineRolls {
  /** In order; without those stated while the set-up had no such line, for they move nothing. */
  rolls: Roll[];
  /** How many rolls at most move a unit from its coming onto the line until it is off again. */
  most: number;
}

/** The rolls of each line. `counting` is in order. */
export function rollsByLine(counting: readonly Fact[], setups: readonly SetupVersion[]): Map<string, LineRolls> {
  const lines = new Map<string, LineRolls>();
  for (const fact of counting) {
    if (fact.kind !== 'roll') continue;
    const plant = setupAt(setups, fact.happened)?.plant;
    if (!plant || !findLine(plant, fact.line)) continue;
    // A roll moves a unit to a station behind its own: no more of them than the line has stations, in each set-up anew.
    const most = (): number => setups.reduce((sum, setup) => sum + (findLine(setup.plant, fact.line)?.stations.length ?? 0), 0);
    const line = lines.get(fact.line) ?? { rolls: [], most: most() };
    line.rolls.push(fact);
    lines.set(fact.line, line);
  }
  return lines;
}

/**
 * Every roll that can move a unit with these facts of its own: after each coming to a station of a line as many rolls of that
 * line as it has stations. Others find the unit elsewhere.
 */
export function rollsOf(own: readonly UnitFact[], lines: ReadonlyMap<string, LineRolls>, setups: readonly SetupVersion[]): Roll[] {
  if (lines.size === 0) return [];
  const rolls = new Set<Roll>();
  for (const fact of own) {
    if (fact.kind !== 'arrive' && fact.kind !== 'putBack' && fact.kind !== 'seen') continue;
    const plant = setupAt(setups, fact.happened)?.plant;
    const line = plant && lines.get(findStation(plant, fact.station)?.line?.code ?? '');
    if (!line) continue;
    const first = firstAfter(line.rolls, fact);
    for (const roll of line.rolls.slice(first, first + line.most)) rolls.add(roll);
  }
  return [...rolls];
}

function firstAfter(rolls: readonly Roll[], fact: Fact): number {
  let [low, high] = [0, rolls.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (compareFacts(rolls[middle]!, fact) < 0) low = middle + 1;
    else high = middle;
  }
  return low;
}
