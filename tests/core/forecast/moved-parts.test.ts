import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { movedShorts } from '../../../server/core/forecast/moved-parts.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { qualityPlant, record } from '../../support/given-quality.ts';

const U = 'CF1';
const setups = setupOf(qualityPlant());
const fold = (...facts: Fact[]) => foldUnit(U, [registered(U), ...facts], setups).state;
const out = (m: number, fitted: Fact, takenFor: string | undefined = 'CF2') => at(m, 'removePart', { unit: U, fitted: fitted.id, reason: 'Needed there', ...(takenFor === undefined ? {} : { takenFor }) });
const told = (...facts: Fact[]) => movedShorts([fold(...facts)], (part) => `Part ${part}`).map(({ unit, what, opened, fitted }) => [unit, what, opened, fitted]);

describe('a part that was taken out for another unit', () => {
  const first = record(1);
  const again = record(9);

  it('leaves its donor short until one of the kind is recorded on it again', () => {
    expect(told(first, out(4, first))).toEqual([[U, 'Part AXLE', minute(4), null]]);
    expect(told(first, out(4, first), again)).toEqual([[U, 'Part AXLE', minute(4), minute(9)]]);
    expect(told(first, out(4, first), again, out(12, again))).toEqual([[U, 'Part AXLE', minute(4), minute(9)], [U, 'Part AXLE', minute(12), null]]);
  });

  it('is no shortage when it was taken out for no other unit, or never', () => {
    expect(told(first, at(4, 'removePart', { unit: U, fitted: first.id, reason: 'Faulty' }))).toEqual([]);
    expect(told(first)).toEqual([]);
    expect(told()).toEqual([]);
  });

  it('counts no more once the removal is voided', () => {
    const removal = out(4, first);
    expect(told(first, removal, at(5, 'void', { fact: removal.id, reason: 'Other unit' }))).toEqual([]);
  });

  it('is short exactly while the unit says so, each shortage once', () => {
    const any = fc.array(fc.record({ take: fc.boolean(), pick: fc.nat(9), moved: fc.boolean() }), { maxLength: 14 }).map((draws) => {
      const facts: Fact[] = [];
      draws.forEach(({ take, pick, moved }, m) => {
        const fitted = facts.filter(({ kind }) => kind === 'recordPart');
        facts.push(take && fitted.length > 0 ? out(m, fitted[pick % fitted.length]!, moved ? 'CF2' : '') : record(m));
      });
      return facts.map((fact) => (fact.kind === 'removePart' && fact.takenFor === '' ? at((fact.happened - minute(0)) / 60_000, 'removePart', { unit: U, fitted: fact.fitted, reason: 'Faulty' }) : fact));
    });
    fc.assert(fc.property(any, (facts) => {
      const state = fold(...facts);
      const items = movedShorts([state], (part) => part);
      const open = state.shorts.filter(({ short }) => short.startsWith('removed '));
      expect(items.filter(({ fitted }) => fitted === null).map(({ opened }) => opened)).toEqual(open.map(({ opened }) => opened));
      expect(new Set(items.map(({ id }) => id)).size).toBe(items.length);
      for (const [i, { opened, fitted }] of items.entries()) {
        expect(fitted === null || fitted > opened).toBe(true);
        if (i > 0) expect(opened).toBeGreaterThanOrEqual(items[i - 1]!.fitted!);
      }
    }), { numRuns: 300 });
  });
});
