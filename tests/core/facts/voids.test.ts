import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareFacts } from '../../../server/core/facts/order.ts';
import { effectiveFacts } from '../../../server/core/facts/voids.ts';
import { at } from '../../support/given.ts';

const heads = (m: number, id: string) => at(m, 'heads', { station: 'A', heads: 1 }, { id, counter: 1 });
const voids = (m: number, id: string, fact: string) => at(m, 'void', { fact, reason: 'wrong' }, { id, counter: 1 });
const ids = (facts: ReturnType<typeof effectiveFacts>) => facts.map((fact) => fact.id);

describe('effectiveFacts', () => {
  it('leaves out what is voided, and the void', () => {
    expect(ids(effectiveFacts([heads(1, 'a'), heads(2, 'b'), voids(3, 'v', 'a')]))).toEqual(['b']);
  });

  it('brings back what a voided void had answered', () => {
    expect(ids(effectiveFacts([voids(4, 'w', 'v'), voids(3, 'v', 'a'), heads(1, 'a')]))).toEqual(['a']);
    expect(ids(effectiveFacts([voids(5, 'x', 'w'), voids(4, 'w', 'v'), voids(3, 'v', 'a'), heads(1, 'a')]))).toEqual([]);
  });

  it('voids a fact that happened later than its void, as a clock that is wrong may say', () => {
    expect(ids(effectiveFacts([voids(1, 'v', 'a'), heads(2, 'a')]))).toEqual([]);
  });

  it('gives the same for every order and repetition of any facts, circles of voids among them', () => {
    const name = fc.constantFrom('a', 'b', 'c', 'd', 'e', 'f');
    const targets = fc.record({ a: name, b: name, c: name, d: name, e: name });
    fc.assert(fc.property(targets, fc.array(fc.nat(10), { minLength: 6, maxLength: 6 }), fc.infiniteStream(fc.nat()), (target, minutes, salt) => {
      const facts = [...Object.entries(target).map(([id, of], i) => voids(minutes[i]!, id, of)), heads(minutes[5]!, 'f')];
      const shuffled = [...facts, ...facts].map((fact) => ({ fact, key: salt.next().value })).sort((x, y) => x.key - y.key).map(({ fact }) => fact);
      expect(ids(effectiveFacts(shuffled))).toEqual(ids(effectiveFacts(facts)));
    }));
  });
});

describe('compareFacts', () => {
  it('is a total order: happened, counter, device, id', () => {
    const fact = fc.record({ happened: fc.nat(2), counter: fc.nat(2), device: fc.constantFrom('k1', 'k2'), id: fc.constantFrom('x', 'y') })
      .map((base) => at(0, 'heads', { station: 'A', heads: 1 }, base));
    fc.assert(fc.property(fact, fact, fact, (a, b, c) => {
      expect(Math.sign(compareFacts(a, b))).toBe(-Math.sign(compareFacts(b, a)) + 0);
      if (compareFacts(a, b) <= 0 && compareFacts(b, c) <= 0) expect(compareFacts(a, c)).toBeLessThanOrEqual(0);
    }));
  });
});
