import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldPlaces } from '../../../server/core/facts/fold-places.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { foldUnits, lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';

const plant = aPlant(aLine(['A', 'B', 'C'].map((code) => aStation(code))), { A: 25, B: 30, C: 20 });
const setups = setupOf(plant);
const U = 'CF1';
const arrive = (m: number, station: string, unit = U) => at(m, 'arrive', { unit, station });
const finish = (m: number, station: string, unit = U) => at(m, 'finish', { unit, station });
const openHold = (m: number, keepsFrom: 'work' | 'leaving' | 'shipping' = 'work') =>
  at(m, 'openHold', { unit: U, reason: 'Part missing', keepsFrom, fromStation: null, note: '' });
const fold = (...facts: Fact[]) => foldUnit(U, facts, setups);
const codes = (folded: ReturnType<typeof fold>) => folded.flags.map((flag) => flag.code);

describe('a unit on its way', () => {
  it('stands where it arrived last, and has left the place before', () => {
    const folded = fold(registered(U), arrive(0, 'A'), finish(20, 'A'), arrive(30, 'B'));
    expect(folded.state).toMatchObject({ stage: 'onLine', place: { station: 'B', since: minute(30), finished: null } });
    expect(folded.history.stays).toMatchObject([
      { station: 'A', arrived: minute(0), finished: minute(20), left: minute(30), leftHow: 'implied' },
      { station: 'B', arrived: minute(30), left: null },
    ]);
    expect(codes(folded)).toEqual([]);
  });

  it('is recorded and flagged when it surprises', () => {
    expect(codes(fold(arrive(0, 'A')))).toEqual(['unknownUnit']);
    expect(codes(fold(registered(U), arrive(0, 'C')))).toEqual(['skippedStations']);
    expect(codes(fold(registered(U), arrive(0, 'B'), arrive(5, 'A')))).toEqual(['skippedStations', 'backwards']);
    expect(codes(fold(registered(U), arrive(0, 'A'), arrive(5, 'A')))).toEqual(['twice']);
    expect(codes(fold(registered(U), arrive(0, 'A'), finish(5, 'B')))).toEqual(['notHere']);
    expect(codes(fold(registered(U), arrive(0, 'X')))).toEqual(['unknownStation']);
    expect(codes(fold(registered(U), at(3, 'ship', { unit: U, carrier: '' })))).toEqual(['notReleased']);
  });

  it('carries what it left short until that is fitted', () => {
    const short = at(20, 'leaveShort', { unit: U, station: 'A', items: [{ what: 'Converter', owner: 'Stores', fitAt: 'C', expected: null }, { what: 'Step', owner: 'Stores', fitAt: null, expected: null }] });
    const open = fold(registered(U), arrive(0, 'A'), short, arrive(21, 'B'));
    expect(open.state.shorts.map((item) => item.what)).toEqual(['Converter', 'Step']);
    expect(open.history.stays[0]).toMatchObject({ left: minute(20), leftHow: 'short' });
    const fitted = fold(registered(U), arrive(0, 'A'), short, arrive(21, 'B'), at(40, 'fitShort', { unit: U, short: short.id, item: 0 }));
    expect(fitted.state.shorts.map((item) => item.what)).toEqual(['Step']);
  });

  it('passes an open hold with a flag, and holds have their intervals', () => {
    const hold = openHold(5, 'leaving');
    const folded = fold(registered(U), arrive(0, 'A'), hold, arrive(30, 'B'), at(40, 'clearHold', { unit: U, hold: hold.id, note: '' }));
    expect(codes(folded)).toEqual(['pastHold']);
    expect(folded.history.holds).toMatchObject([{ opened: minute(5), cleared: minute(40) }]);
    expect(folded.state.holds).toEqual([]);
  });

  it('goes off the line and comes back, is released, shipped and comes back again', () => {
    const facts = [
      registered(U), arrive(0, 'A'), at(10, 'pullOff', { unit: U, reason: 'Leak', to: null }), at(60, 'putBack', { unit: U, station: 'B' }),
      at(90, 'park', { unit: U, place: 'YARD', slot: '7' }), at(95, 'release', { unit: U }), at(99, 'ship', { unit: U, carrier: 'Carrier A' }),
    ];
    const stages = facts.map((_, i) => fold(...facts.slice(0, i + 1)).state.stage);
    expect(stages).toEqual(['scheduled', 'onLine', 'offLine', 'onLine', 'yard', 'released', 'shipped']);
    expect(fold(...facts).history).toMatchObject({ offLine: [{ from: minute(10), to: minute(60) }], gone: minute(99) });
    expect(fold(...facts, at(200, 'comeBack', { unit: U, reason: 'Axle' })).state).toMatchObject({ stage: 'yard', shipped: null, released: null });
  });

  it('keeps the first promise, and who moved the current one', () => {
    const moved = fold(registered(U), at(5, 'promise', { unit: U, promise: '2026-06-09', reason: 'Axles late' }));
    expect(moved.state).toMatchObject({ firstPromise: '2026-06-05', promise: '2026-06-09', promiseMoved: { who: 'badge-1', reason: 'Axles late' } });
  });

  it('takes over what was scanned under a serial nobody knew', () => {
    const facts = [registered(U), arrive(0, 'A', 'CFI'), at(9, 'identify', { unit: U, scanned: 'CFI', reason: 'misread' })];
    expect(fold(...facts).state.place?.station).toBe('A');
    expect([...foldUnits(facts, setups).keys()]).toEqual([U]);
  });
});

describe('a line that rolls together', () => {
  const together = setupOf(aPlant(aLine(['A', 'B', 'C'].map((code) => aStation(code)), { roll: 'together' }), { A: 25, C: 20 }));
  it('moves a unit along its own route and off the line at its end', () => {
    const facts = [registered(U), arrive(0, 'A'), finish(20, 'A'), at(30, 'roll', { line: 'MAIN' })];
    expect(foldUnit(U, facts, together).state.place).toMatchObject({ station: 'C', since: minute(30) });
    const off = foldUnit(U, [...facts, finish(50, 'C'), at(60, 'roll', { line: 'MAIN' })], together);
    expect(off.state).toMatchObject({ place: null, stage: 'yard' });
    expect(off.history.stays.map((stay) => stay.leftHow)).toEqual(['rolled', 'rolled']);
  });
});

describe('whatever the order of arrival', () => {
  const anyFact: fc.Arbitrary<Fact> = fc.tuple(fc.nat(40), fc.constantFrom('A', 'B', 'C', 'X'), fc.nat(9)).chain(([m, station, which]) => {
    const facts: (() => Fact)[] = [
      () => arrive(m, station), () => finish(m, station), () => at(m, 'leave', { unit: U, station }), () => openHold(m), () => at(m, 'roll', { line: 'MAIN' }),
      () => at(m, 'pullOff', { unit: U, reason: 'Leak', to: null }), () => at(m, 'putBack', { unit: U, station }), () => registered(U),
      () => at(m, 'openStop', { station, reason: 'Tool broken', note: '' }), () => at(m, 'ship', { unit: U, carrier: '' }),
    ];
    return fc.constant(null).map(facts[which]!);
  });

  it('the same set of facts gives the same state, stays, flags and stops', () => {
    fc.assert(fc.property(fc.array(anyFact, { maxLength: 25 }), fc.infiniteStream(fc.nat()), (facts, salt) => {
      const voided = facts.filter((_, i) => i % 5 === 4).map((fact) => at(50, 'void', { fact: fact.id, reason: 'wrong' }));
      const all = [...facts, ...voided];
      const shuffled = [...all, ...facts].map((fact) => ({ fact, key: salt.next().value })).sort((x, y) => x.key - y.key).map(({ fact }) => fact);
      expect(foldUnit(U, shuffled, setups)).toEqual(foldUnit(U, all, setups));
      expect(foldPlaces(shuffled, setups)).toEqual(foldPlaces(all, setups));
      expect(lineHistoryOf('MAIN', setups, shuffled).units.find((unit) => unit.unit === U)?.stays).toEqual(
        lineHistoryOf('MAIN', setups, all).units.find((unit) => unit.unit === U)?.stays);
    }));
  });
});
