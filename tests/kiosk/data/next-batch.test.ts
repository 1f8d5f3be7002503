import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextBatch, type Sender, wants } from '../../../kiosk/data/next-batch.ts';
import type { Kept } from '../../../kiosk/data/outbox-disk.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';

const kept = (counter: number, more: Partial<Kept> = {}, device = 'K1'): Kept => ({ counter, plant: 'P', fact: { id: String(counter), device } as Fact, version: null, refused: null, ...more });
const sender = (more: Partial<Sender> = {}): Sender => ({ device: 'K1', signedIn: null, hasPin: () => false, ...more });
const sent = (all: readonly Kept[], more: Partial<Sender> = {}, size = 50): number[] => nextBatch(all, 'P', size, sender(more)).map(({ counter }) => counter);

describe('the next batch', () => {
  it('is the oldest that wait, this plant\'s first, as many as go at once', () => {
    expect(sent([kept(1, { version: 3 }), kept(2, { refused: 'no' }), kept(3, { plant: 'Q' }), kept(4), kept(5), kept(6)], {}, 2)).toEqual([4, 5]);
    expect(sent([kept(3, { plant: 'Q' }), kept(4, { version: 1 })])).toEqual([3]);
    expect(sent([kept(4, { version: 1 })])).toEqual([]);
  });

  it('takes what wants a PIN where the PIN is, by itself and last', () => {
    const all = [kept(1, { takesPin: true }), kept(2, { takesPin: true }), kept(3)];
    expect(sent(all)).toEqual([3]);
    expect(sent(all, { hasPin: () => true })).toEqual([3]);
    const rest = [...all.slice(0, 2), kept(3, { version: 1 })];
    expect(sent(rest)).toEqual([]);
    expect(sent(rest, { hasPin: () => true })).toEqual([1]);
    expect(sent(rest, { hasPin: (fact) => fact === '2' })).toEqual([2]);
  });

  it('holds back what its person has to sign in for, and what was stated by another id of the device', () => {
    const all = [kept(1, { waitsFor: 'ann' }), kept(2, {}, 'K0'), kept(3)];
    expect(all.map((one) => wants(one, sender({ signedIn: 'bob' })))).toEqual(['person', 'device', null]);
    expect(sent(all, { signedIn: 'bob' })).toEqual([3]);
    expect(sent(all, { signedIn: 'ann' })).toEqual([1, 3]);
    expect(sent(all, { device: 'K0' })).toEqual([2]);
  });

  it('is never of two plants, never holds what cannot go, and is empty only when nothing can', () => {
    const one = fc.record({ plant: fc.constantFrom('P', 'Q'), device: fc.constantFrom('K1', 'K0'), version: fc.constantFrom(null, null, 4), takesPin: fc.boolean(), waitsFor: fc.constantFrom(undefined, 'ann', 'bob') });
    fc.assert(fc.property(fc.array(one, { maxLength: 12 }), fc.integer({ min: 1, max: 5 }), fc.constantFrom(null, 'ann'), fc.boolean(), (of, size, signedIn, pins) => {
      const all = of.map(({ device, waitsFor, ...more }, at) => kept(at, { ...more, ...(waitsFor ? { waitsFor } : {}) }, device));
      const by = sender({ signedIn, hasPin: () => pins });
      const batch = nextBatch(all, 'P', size, by);
      const can = all.filter((each) => each.version === null && wants(each, by) === null);
      expect(new Set(batch.map(({ plant }) => plant)).size).toBeLessThanOrEqual(1);
      expect(batch.every((each) => can.includes(each))).toBe(true);
      expect(batch.length === 0).toBe(can.length === 0);
      expect(batch.length).toBeLessThanOrEqual(size);
    }));
  });
});
