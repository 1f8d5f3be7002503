import type { SetupVersion } from '../setup/plant.ts';
import type { LineHistory, UnitHistory } from '../timeline/line-history.ts';
import type { Fact, UnitFact } from './fact.ts';
import { foldPlaces } from './fold-places.ts';
import { foldOwn, type FoldedUnit } from './fold-unit.ts';
import { identifiedAs } from './identified-as.ts';
import { compareFacts } from './order.ts';
import { rollsByLine, rollsOf } from './rolls-of.ts';
import { effectiveFacts } from './voids.ts';

/** Every unit that the facts name, folded; what was identified as a unit counts as that unit. Facts are grouped once. */
export function foldUnits(facts: readonly Fact[], setups: readonly SetupVersion[]): Map<string, FoldedUnit> {
  const counting = effectiveFacts(facts);
  const identified = identifiedAs(counting);
  const own = new Map<string, UnitFact[]>();
  for (const fact of counting) {
    if (!('unit' in fact)) continue;
    const unit = identified.get(fact.unit) ?? fact.unit;
    const list = own.get(unit);
    if (list) list.push(fact);
    else own.set(unit, [fact]);
  }
  const lines = rollsByLine(counting, setups);
  const folded = new Map<string, FoldedUnit>();
  for (const [unit, list] of own) {
    const rolls = rollsOf(list, lines, setups);
    folded.set(unit, foldOwn(unit, rolls.length === 0 ? list : [...list, ...rolls].sort(compareFacts), setups));
  }
  return folded;
}

/** Everything the minutes of `line` are a function of: units with a stay on it, and those still to come to it. */
export function lineHistoryOf(line: string, setups: SetupVersion[], facts: readonly Fact[]): LineHistory {
  const { stops, floorTime } = foldPlaces(facts, setups);
  const units: UnitHistory[] = [];
  for (const { history, state } of foldUnits(facts, setups).values()) {
    const comes = state.known && state.cancelled === null && state.shipped === null;
    if (comes || history.stays.some((stay) => stay.line === line)) units.push(history);
  }
  return { line, setups, units, stops, floorTime };
}
