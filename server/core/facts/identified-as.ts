import type { Fact, Identify } from './fact.ts';
import { compareFacts } from './order.ts';

/**
 * For each serial that was ever identified: the unit it counts as, followed to the end (A is B and B is C: A is C). `counting` is in order
 * (`effectiveFacts`); of two words about one serial the later counts. Where they go in a circle, the last word of the circle names the unit.
 */
export function identifiedAs(counting: readonly Fact[]): Map<string, string> {
  const said = new Map<string, Identify>();
  for (const fact of counting) if (fact.kind === 'identify') said.set(fact.scanned, fact);
  return new Map([...said.keys()].map((scanned) => [scanned, endOf(scanned, said)]));
}

function endOf(scanned: string, said: ReadonlyMap<string, Identify>): string {
  const passed = new Map<string, Identify>();
  let unit = scanned;
  for (let word = said.get(unit); word; word = said.get(unit)) {
    if (passed.has(unit)) return lastOfCircle(unit, passed);
    passed.set(unit, word);
    unit = word.unit;
  }
  return unit;
}

function lastOfCircle(member: string, passed: ReadonlyMap<string, Identify>): string {
  let last = passed.get(member)!;
  for (let unit = last.unit; unit !== member; unit = passed.get(unit)!.unit) {
    const word = passed.get(unit)!;
    if (compareFacts(word, last) > 0) last = word;
  }
  return last.unit;
}
