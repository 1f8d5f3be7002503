import { describe, expect, it } from 'vitest';
import { unknownVoids } from '../../../server/core/facts/unknown-voids.ts';
import { at } from '../../support/given.ts';

const heads = at(0, 'heads', { station: 'A', heads: 2 });
const voids = (fact: string) => at(5, 'void', { fact, reason: 'wrong' });

describe('a void of a fact that is not in the log', () => {
  it('is flagged until that fact comes', () => {
    const early = voids(heads.id);
    expect(unknownVoids([early])).toEqual([{ fact: early.id, code: 'unknownTarget', unit: null, station: null, detail: heads.id }]);
    expect(unknownVoids([early, heads])).toEqual([]);
  });

  it('knows voids too: voiding a void is no surprise', () => {
    const first = voids(heads.id);
    expect(unknownVoids([heads, first, voids(first.id)])).toEqual([]);
  });

  it('is flagged once, in the same order, however often and in whatever order it came', () => {
    const both = [voids('nothing'), voids('nobody')];
    expect(unknownVoids([...both, ...both].reverse())).toEqual(unknownVoids(both));
    expect(unknownVoids(both)).toHaveLength(2);
  });
});
