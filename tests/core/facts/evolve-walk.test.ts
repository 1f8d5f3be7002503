import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';

const plant = aPlant(aLine(['A', 'B', 'C'].map((code) => aStation(code))), { A: 25, B: 30, C: 20 });
const setups = setupOf(plant);
const U = 'CF1';
const arrive = (m: number, station: string) => at(m, 'arrive', { unit: U, station });
const seen = (m: number, station: string, slot = '') => at(m, 'seen', { unit: U, station, slot });
const fold = (...facts: Fact[]) => foldUnit(U, [registered(U), ...facts], setups);
const flagsOf = (folded: ReturnType<typeof fold>) => folded.flags.map(({ code, detail }) => [code, detail]);

describe('a unit found on a walk of the line', () => {
  it('where it is said to be is confirmed: nothing moves, nothing is flagged', () => {
    const came = arrive(0, 'A');
    const before = fold(came);
    const folded = fold(came, seen(30, 'A'));
    expect(folded.state).toEqual({ ...before.state, seen: minute(30) });
    expect(folded.history.stays).toEqual(before.history.stays);
    expect(flagsOf(folded)).toEqual([]);
  });

  it('at another station stands there from then on, flagged; which way it came is not held against it', () => {
    const folded = fold(arrive(0, 'A'), seen(30, 'C'));
    expect(folded.state).toMatchObject({ stage: 'onLine', lastStation: 'C', seen: minute(30), place: { line: 'MAIN', station: 'C', since: minute(30) } });
    expect(folded.history.stays).toMatchObject([{ station: 'A', left: minute(30), leftHow: 'implied' }, { station: 'C', left: null }]);
    expect(flagsOf(folded)).toEqual([['seenElsewhere', 'A']]);
    expect(flagsOf(fold(arrive(0, 'C'), seen(30, 'A')))).toContainEqual(['seenElsewhere', 'C']);
  });

  it('in another slot of the same yard place is moved to it', () => {
    const parked = at(0, 'park', { unit: U, place: 'YARD', slot: '7' });
    expect(fold(parked, seen(5, 'YARD')).state.place?.slot).toBe('7');
    const moved = fold(parked, seen(5, 'YARD', '9'));
    expect(moved.state.place).toMatchObject({ station: 'YARD', slot: '9', since: minute(0) });
    expect(flagsOf(moved)).toEqual([['seenElsewhere', '7']]);
    expect(flagsOf(fold(parked, seen(5, 'YARD', '7')))).toEqual([]);
  });

  it('past a hold that keeps it from leaving is flagged as that too, and an unknown place as unknown', () => {
    const hold = at(5, 'openHold', { unit: U, reason: 'R', keepsFrom: 'leaving', fromStation: null, note: '' });
    expect(flagsOf(fold(arrive(0, 'A'), hold, seen(30, 'B'))).map(([code]) => code)).toEqual(['pastHold', 'seenElsewhere']);
    expect(flagsOf(fold(arrive(0, 'A'), seen(30, 'X'))).map(([code]) => code)).toEqual(['unknownStation', 'seenElsewhere']);
  });
});

describe('a unit that a walk does not find', () => {
  const missing = (m: number, station: string) => at(m, 'missing', { unit: U, station });

  it('stands nowhere known until it is scanned again; its stay ended', () => {
    const folded = fold(arrive(0, 'A'), missing(30, 'A'));
    expect(folded.state.place).toBeNull();
    expect(folded.history.stays).toMatchObject([{ station: 'A', left: minute(30), leftHow: 'notFound' }]);
    expect(flagsOf(folded)).toEqual([['notFound', 'A']]);
    expect(fold(arrive(0, 'A'), missing(30, 'A'), arrive(40, 'B')).state.place?.station).toBe('B');
  });

  it('at a place where it was not said to be changes nothing', () => {
    const came = arrive(0, 'A');
    const folded = fold(came, missing(30, 'B'));
    expect(folded.state).toEqual(fold(came).state);
    expect(flagsOf(folded)).toEqual([['notHere', 'A']]);
  });
});

describe('walks and scans in any order', () => {
  it('leave at most one open stay, and the unit where the last of them says', () => {
    const step = fc.record({ m: fc.integer({ min: 1, max: 99 }), kind: fc.constantFrom('arrive' as const, 'seen' as const, 'missing' as const), station: fc.constantFrom('A', 'B', 'C', 'YARD') });
    fc.assert(fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
      const facts = steps.map(({ m, kind, station }) => (kind === 'seen' ? seen(m, station) : at(m, kind, { unit: U, station })));
      const { state, history } = fold(...facts);
      expect(history.stays.filter(({ left }) => left === null).length).toBe(state.place?.line ? 1 : 0);
      expect(fold(...[...facts].reverse()).state).toEqual(state);
      const last = [...facts].sort((a, b) => a.happened - b.happened || a.counter - b.counter).filter(({ kind }) => kind !== 'missing').at(-1);
      if (last && state.place) expect(state.place.station).toBe('station' in last ? last.station : '');
    }));
  });
});
