import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { openIn } from '../../../server/core/gates/access.ts';
import { missingForRelease } from '../../../server/core/gates/release.ts';
import { unreleasedShip } from '../../../server/core/gates/unreleased-ship.ts';
import { at, registered, setupOf } from '../../support/given.ts';
import { cover, find, fix, leak, one, qualityPlant, record, release, reopen, settle, verify } from '../../support/given-quality.ts';

const U = 'CF1';
const plant = qualityPlant();
const setups = setupOf(plant);

/** Any sequence of what a floor and an office may say of a unit, in the order of minutes; `pick` which earlier work is answered. */
const anyFacts = fc.array(fc.record({ kind: fc.nat(17), pick: fc.nat(9), zone: fc.constantFrom('wall', 'roof', null), good: fc.boolean() }), { maxLength: 30 }).map((draws) => {
  const facts: Fact[] = [registered(U)];
  const work = (pick: number): string => {
    const found = facts.filter(({ kind }) => kind === 'findWork');
    return found[pick % Math.max(1, found.length)]?.id ?? 'none';
  };
  draws.forEach(({ kind, pick, zone, good }, m) => {
    const made: (() => Fact)[] = [
      () => find(m, zone), () => fix(m, work(pick)), () => verify(m, work(pick)), () => reopen(m, work(pick)), () => cover(m, 'B', zone ?? 'wall'),
      () => leak(m, good, 15), () => one(m, 'LABEL', good), () => one(m, 'FINAL', good), () => record(m), () => settle(m, good), () => release(m),
      () => at(m, 'arrive', { unit: U, station: 'ABC'[pick % 3]! }), () => at(m, 'park', { unit: U, place: 'YARD', slot: '' }),
      () => at(m, 'leaveShort', { unit: U, station: 'A', items: [{ what: 'Fan', owner: '', fitAt: null, expected: null, zone }] }),
      () => at(m, 'overrideGate', { unit: U, breach: `${facts.findLast(({ kind: one }) => one === 'ship')?.id ?? 'none'}/release`, reason: 'R' }), () => at(m, 'comeBack', { unit: U, reason: 'R' }),
      () => at(m, 'uncoverZones', { unit: U, zones: ['wall'], reason: 'R' }), () => at(m, 'ship', { unit: U, carrier: '', ...(good ? { override: 'R' } : {}) }),
    ];
    facts.push(made[kind]!());
  });
  return facts;
});
const fold = (facts: readonly Fact[]) => foldUnit(U, facts, setups);

describe('after any sequence of facts', () => {
  it('nothing stands as released while something is missing', () => {
    fc.assert(fc.property(anyFacts, (facts) => {
      const { state } = fold(facts);
      if (state.released !== null && state.shipped === null) expect(missingForRelease(state, plant, state.released)).toEqual([]);
    }), { numRuns: 400 });
  });

  it('a zone was covered over something open exactly when a breach says so', () => {
    fc.assert(fc.property(anyFacts, (facts) => {
      facts.forEach((fact, i) => {
        if (fact.kind !== 'coverZones') return;
        const before = fold(facts.slice(0, i)).state;
        const over = fact.zones.some((zone) => openIn(before, zone).length > 0);
        expect(fold(facts.slice(0, i + 1)).state.breaches.some(({ id }) => id.startsWith(`${fact.id}/access/`))).toBe(over);
      });
    }), { numRuns: 150 });
  });

  it('a breach never goes away, and is settled once', () => {
    fc.assert(fc.property(anyFacts, (facts) => {
      let before = fold([]).state.breaches;
      for (let i = 1; i <= facts.length; i++) {
        const now = fold(facts.slice(0, i)).state.breaches;
        expect(now.map(({ id }) => id).slice(0, before.length)).toEqual(before.map(({ id }) => id));
        before.forEach((breach, j) => breach.settled && expect(now[j]!.settled).toEqual(breach.settled));
        before = now;
      }
    }), { numRuns: 100 });
  });

  it('nothing is verified by the one who fixed it, unless a check it failed was passed', () => {
    fc.assert(fc.property(anyFacts, (facts) => {
      for (const { status, fixed, verified, ofCheck } of fold(facts).state.work) if (status === 'verified' && ofCheck === null) expect(verified!.who).not.toBe(fixed!.who);
    }), { numRuns: 300 });
  });

  it('a unit went without its release exactly when a breach of it, or a release, says so', () => {
    fc.assert(fc.property(anyFacts, (facts) => {
      const { state, flags } = fold(facts);
      const passed = state.breaches.filter(({ gate }) => gate === 'release');
      if (passed.length > 0) expect(flags.map(({ code }) => code)).toContain('notReleased');
      if (state.shipped !== null && passed.length === 0) expect(state.released).not.toBeNull();
    }), { numRuns: 300 });
  });

  // The oracle walks from fact to fact, with no word of breaches: gone without release until the override of that very shipment, or back.
  it('a unit that went without a release and without an override is shown as such, until one says why or it came back', () => {
    fc.assert(fc.property(anyFacts, (facts) => {
      let gone: string[] = [];
      let shipped = false;
      for (let i = 1; i < facts.length; i++) {
        const before = fold(facts.slice(0, i)).state;
        const fact = facts[i]!;
        if (fact.kind === 'ship' && !shipped) {
          if (before.released === null && fact.override === undefined) gone = [...gone, fact.id];
          shipped = true;
        }
        if (fact.kind === 'comeBack') shipped = false;
        if (fact.kind === 'overrideGate') gone = gone.filter((id) => fact.breach !== `${id}/release`);
        const shown = unreleasedShip(fold(facts.slice(0, i + 1)).state);
        expect(shown?.breach ?? null).toBe(shipped && gone.length > 0 ? `${gone[0]}/release` : null);
      }
    }), { numRuns: 300 });
  });
});
