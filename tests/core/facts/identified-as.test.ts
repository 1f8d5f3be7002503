import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { identifiedAs } from '../../../server/core/facts/identified-as.ts';
import { foldUnits } from '../../../server/core/facts/line-history-of.ts';
import { effectiveFacts } from '../../../server/core/facts/voids.ts';
import { aLine, aPlant, aStation, at, registered, setupOf } from '../../support/given.ts';

const setups = setupOf(aPlant(aLine(['S1', 'S2', 'S3'].map((code) => aStation(code))), { S1: 25, S2: 30, S3: 20 }));
const is = (m: number, scanned: string, unit: string, base: { id?: string; counter?: number } = {}) => at(m, 'identify', { unit, scanned, reason: 'misread' }, base);
const told = (...facts: Fact[]) => Object.fromEntries(identifiedAs(effectiveFacts(facts)));
const arrive = (m: number, unit: string, station: string) => at(m, 'arrive', { unit, station });

describe('which unit a scan turned out to be', () => {
  it('is followed to the end: A is B and B is C, so A is C, in whatever order it was said', () => {
    expect(told(is(1, 'A', 'B'), is(2, 'B', 'C'))).toEqual({ A: 'C', B: 'C' });
    expect(told(is(1, 'B', 'C'), is(2, 'A', 'B'))).toEqual({ A: 'C', B: 'C' });
    expect(told(is(1, 'A', 'B'), is(2, 'B', 'C'), is(3, 'C', 'D'), is(4, 'X', 'B'))).toEqual({ A: 'D', B: 'D', C: 'D', X: 'D' });
  });

  it('is what was said last of a serial; a void takes the word back', () => {
    expect(told(is(1, 'A', 'B'), is(2, 'A', 'C'))).toEqual({ A: 'C' });
    const wrong = is(2, 'B', 'C');
    expect(told(is(1, 'A', 'B'), wrong, at(3, 'void', { fact: wrong.id, reason: 'wrong' }))).toEqual({ A: 'B' });
  });

  it('ends in a circle with the unit that its last word names, for all who lead into it', () => {
    expect(told(is(1, 'A', 'B'), is(2, 'B', 'A'))).toEqual({ A: 'A', B: 'A' });
    expect(told(is(2, 'A', 'B'), is(1, 'B', 'A'))).toEqual({ A: 'B', B: 'B' });
    expect(told(is(9, 'X', 'A'), is(1, 'A', 'B'), is(3, 'B', 'C'), is(2, 'C', 'A'))).toEqual({ X: 'C', A: 'C', B: 'C', C: 'C' });
    expect(told(is(1, 'A', 'A'))).toEqual({ A: 'A' });
  });

  it('counts the facts of the whole chain for its last unit, and leaves no other', () => {
    const facts = [registered('C'), arrive(0, 'A', 'S1'), arrive(10, 'B', 'S2'), is(20, 'A', 'B'), is(30, 'B', 'C'), arrive(40, 'C', 'S3')];
    const folded = foldUnits(facts, setups);
    expect([...folded.keys()]).toEqual(['C']);
    expect(folded.get('C')!.history.stays.map((stay) => stay.station)).toEqual(['S1', 'S2', 'S3']);
    expect(foldUnit('C', facts, setups)).toEqual(folded.get('C'));
  });

  it('makes no difference by order of arrival or repetition, circles among them', () => {
    const name = fc.constantFrom('A', 'B', 'C', 'D', 'E');
    const word = fc.record({ m: fc.nat(6), scanned: name, unit: name });
    fc.assert(fc.property(fc.array(word, { maxLength: 12 }), fc.infiniteStream(fc.nat()), (words, salt) => {
      const facts = words.map(({ m, scanned, unit }) => is(m, scanned, unit));
      const shuffled = [...facts, ...facts].map((fact) => ({ fact, key: salt.next().value })).sort((x, y) => x.key - y.key).map(({ fact }) => fact);
      const map = told(...facts);
      expect(told(...shuffled)).toEqual(map);
      // Whoever a serial counts as counts as itself, and each word ties both its serials to one unit unless a later word took its place.
      for (const unit of Object.values(map)) expect(map[unit] ?? unit).toBe(unit);
      const last = new Map(effectiveFacts(facts).flatMap((fact) => (fact.kind === 'identify' ? [[fact.scanned, fact.unit] as const] : [])));
      for (const [scanned, unit] of last) expect(map[scanned]).toBe(map[unit] ?? unit);
    }));
  });
});
