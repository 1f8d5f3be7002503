import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';

const main = aLine(['A', 'B', 'C'].map((code) => aStation(code)));
const check = aLine([aStation('I1', { kind: 'check' })], { code: 'INSP', name: 'Inspection', purpose: 'inspection' });
const feeder = aLine([aStation('F1'), aStation('F2')], { code: 'FEED', name: 'Feeder', purpose: 'feeder' });
const places = [aStation('YARD', { kind: 'yard', capacity: 50 }), aStation('BAY', { kind: 'repairBay' })];
const setups = setupOf(aPlant(main, { A: 25, B: 30, C: 20, I1: 5, F1: 5, F2: 5 }, { lines: [main, check, feeder], places }));
const U = 'CF1';
const arrive = (m: number, station: string) => at(m, 'arrive', { unit: U, station });
const putBack = (m: number, station: string) => at(m, 'putBack', { unit: U, station });
const pullOff = (m: number, to: string | null = null) => at(m, 'pullOff', { unit: U, reason: 'Leak', to });
const park = (m: number, place: string, slot = '') => at(m, 'park', { unit: U, place, slot });
const hold = (m: number, keepsFrom: 'work' | 'leaving' | 'station' | 'shipping', fromStation: string | null = null) =>
  at(m, 'openHold', { unit: U, reason: 'Part missing', keepsFrom, fromStation, note: '' });
const release = (m: number) => at(m, 'release', { unit: U });
const ship = (m: number) => at(m, 'ship', { unit: U, carrier: '' });
const cancel = (m: number) => at(m, 'cancel', { unit: U, reason: 'Order withdrawn' });
const comeBack = (m: number) => at(m, 'comeBack', { unit: U, reason: 'Axle' });
const fold = (...facts: Fact[]) => foldUnit(U, [registered(U), ...facts], setups);
const codes = (...facts: Fact[]) => fold(...facts).flags.map((flag) => flag.code);

describe('a unit scanned at a place outside every line', () => {
  it('is in the yard, and has left the station that it stood at', () => {
    for (const place of ['YARD', 'BAY']) {
      const folded = fold(arrive(0, 'A'), arrive(30, place));
      expect(folded.state).toMatchObject({ stage: 'yard', stageSince: minute(30), place: { line: null, station: place }, lastStation: 'A' });
      expect(folded.history.stays).toMatchObject([{ station: 'A', left: minute(30), leftHow: 'implied' }]);
      expect(folded.flags).toEqual([]);
    }
    expect(fold(arrive(0, 'I1'), arrive(30, 'YARD')).state.stage).toBe('yard');
    expect(fold(arrive(0, 'YARD')).state.stage).toBe('yard');
  });

  it('is in the same stage as one that is parked there', () => {
    const before: fc.Arbitrary<Fact[]> = fc.array(fc.constantFrom<() => Fact>(
      () => arrive(1, 'A'), () => arrive(2, 'B'), () => pullOff(3), () => pullOff(4, 'BAY'), () => putBack(5, 'C'), () => arrive(6, 'I1'), () => release(7), () => ship(8), () => comeBack(9), () => cancel(10),
    ), { maxLength: 8 }).map((facts) => facts.map((fact) => fact()));
    fc.assert(fc.property(before, (facts) => {
      expect(fold(...facts, arrive(20, 'YARD')).state.stage).toBe(fold(...facts, park(20, 'YARD')).state.stage);
    }));
  });

  it('stays pulled off, or released, when it was', () => {
    const off = fold(arrive(0, 'A'), pullOff(10), arrive(15, 'BAY'));
    expect(off.state).toMatchObject({ stage: 'offLine', stageSince: minute(10), offLineReason: 'Leak', place: { station: 'BAY' } });
    expect(off.flags).toEqual([]);
    expect(fold(arrive(0, 'A'), release(5), arrive(15, 'YARD')).state).toMatchObject({ stage: 'released', released: minute(5) });
  });

  it('is where it was, as far as anybody knows, when the set-up has no such place', () => {
    const lost = fold(arrive(0, 'A'), arrive(10, 'NOWHERE'));
    expect(lost.state).toMatchObject({ stage: 'onLine', place: { line: null, station: 'NOWHERE' } });
    expect(lost.flags.map(({ code }) => code)).toEqual(['unknownStation']);
    expect(fold(arrive(0, 'A'), pullOff(5), putBack(10, 'NOWHERE')).state.stage).toBe('offLine');
  });
});

describe('a unit put back on the line', () => {
  it('comes back to the station that it was pulled off from, and surprises nobody', () => {
    const back = fold(arrive(0, 'A'), arrive(30, 'B'), pullOff(40), putBack(60, 'B'));
    expect(back.flags).toEqual([]);
    expect(back.state).toMatchObject({ stage: 'onLine', stageSince: minute(60), offLineReason: null, place: { station: 'B', since: minute(60) } });
    expect(back.history.stays).toMatchObject([{ station: 'A' }, { station: 'B', leftHow: 'pulledOff' }, { station: 'B', left: null }]);
    expect(back.history.offLine).toEqual([{ from: minute(40), to: minute(60) }]);
  });

  it('surprises at a station before that, or one farther on', () => {
    expect(codes(arrive(0, 'A'), arrive(30, 'B'), pullOff(40), putBack(60, 'A'))).toEqual(['backwards']);
    expect(codes(arrive(0, 'A'), pullOff(40), putBack(60, 'C'))).toEqual(['skippedStations']);
    expect(codes(arrive(0, 'A'), pullOff(40), putBack(60, 'B'))).toEqual([]);
  });

  it('is told so when it was only scanned', () => {
    expect(codes(arrive(0, 'A'), pullOff(10), arrive(20, 'A'))).toEqual(['offLine']);
    expect(codes(arrive(0, 'A'), at(5, 'leave', { unit: U, station: 'A' }), arrive(20, 'A'))).toEqual(['noFinish', 'backwards']);
  });

  it('is still off the line in a repair bay', () => {
    const moved = fold(arrive(0, 'A'), pullOff(10, 'BAY'), putBack(20, 'BAY'));
    expect(moved.state).toMatchObject({ stage: 'offLine', offLineReason: 'Leak', place: { station: 'BAY', since: minute(10) } });
    expect(moved.flags.map(({ code }) => code)).toEqual(['twice']);
    expect(moved.history.offLine).toEqual([{ from: minute(10), to: null }]);
    expect(fold(arrive(0, 'A'), pullOff(10, 'BAY'), putBack(20, 'YARD')).state).toMatchObject({ stage: 'offLine', place: { station: 'YARD' } });
  });
});

describe('a hold', () => {
  it('is not passed by a unit that leaves nothing', () => {
    for (const keeps of ['work', 'leaving', 'shipping'] as const) expect(codes(hold(-5, keeps), arrive(0, 'A'))).toEqual([]);
    expect(codes(hold(-5, 'leaving'), park(0, 'YARD'))).toEqual([]);
  });

  it('that keeps from a station is passed by coming there, also as the first thing it does', () => {
    expect(codes(hold(-5, 'station', 'A'), arrive(0, 'A'))).toEqual(['pastHold']);
    expect(codes(hold(-5, 'station', 'B'), arrive(0, 'A'))).toEqual([]);
    expect(codes(hold(-5, 'station', 'B'), arrive(0, 'A'), arrive(30, 'B'))).toEqual(['pastHold']);
    expect(codes(hold(-5, 'station', 'YARD'), park(0, 'YARD'))).toEqual(['pastHold']);
  });

  it('is told once: by the leave, not by the arrival after it', () => {
    expect(codes(arrive(0, 'A'), hold(5, 'leaving'), at(9, 'finish', { unit: U, station: 'A' }), at(10, 'leave', { unit: U, station: 'A' }), arrive(12, 'B'))).toEqual(['pastHold']);
    expect(codes(arrive(0, 'A'), hold(5, 'leaving'), arrive(12, 'B'))).toEqual(['pastHold']);
  });

  it('is not passed by another slot of the same place', () => {
    expect(codes(park(0, 'YARD', '7'), hold(5, 'leaving'), park(10, 'YARD', '8'))).toEqual([]);
    expect(codes(park(0, 'YARD', '7'), hold(5, 'leaving'), park(10, 'BAY'))).toEqual(['pastHold']);
  });
});

describe('a unit that is gone and is scanned', () => {
  it('stays shipped, with a flag and where it was seen', () => {
    const seen = fold(arrive(0, 'A'), park(5, 'YARD'), release(6), ship(10), arrive(20, 'B'));
    expect(seen.state).toMatchObject({ stage: 'shipped', shipped: minute(10), place: null, lastStation: 'A', seenGone: { station: 'B', at: minute(20) } });
    expect(seen.flags.map(({ code }) => code)).toEqual(['gone']);
    expect(seen.history.stays.map(({ station }) => station)).toEqual(['A']);
  });

  it('stays cancelled in the same way, whatever is scanned', () => {
    const scans = [arrive(20, 'B'), putBack(20, 'B'), park(20, 'BAY'), pullOff(20, 'BAY'), at(20, 'seen', { unit: U, station: 'B', slot: '' }), pullOff(20), at(20, 'missing', { unit: U, station: 'A' }), at(20, 'finish', { unit: U, station: 'A' }), at(20, 'leave', { unit: U, station: 'A' })];
    expect(scans.map((scan) => {
      const { state, flags, history } = fold(arrive(0, 'A'), cancel(10), scan);
      expect(flags.map(({ code }) => code)).toEqual(['gone']);
      expect(state).toMatchObject({ stage: 'cancelled', stageSince: minute(10), place: null });
      expect(history).toMatchObject({ stays: [{ station: 'A', left: minute(10) }], offLine: [], gone: minute(10) });
      return state.seenGone?.station ?? null;
    })).toEqual(['B', 'B', 'BAY', 'BAY', 'B', null, null, 'A', 'A']);
  });

  it('counts from its return on: said afterwards for an instant before the scan, it lets the scan count', () => {
    const facts = [arrive(0, 'A'), park(5, 'YARD'), release(6), ship(10), arrive(20, 'B')];
    const back = fold(...facts, comeBack(15));
    expect(back.state).toMatchObject({ stage: 'onLine', shipped: null, seenGone: null, place: { station: 'B' } });
    expect(back.flags).toEqual([]);
    expect(fold(...facts, comeBack(25)).state).toMatchObject({ stage: 'yard', place: null, seenGone: null });
  });

  it('comes to count when the cancellation is voided', () => {
    const cancelled = cancel(10);
    const folded = fold(arrive(0, 'A'), cancelled, arrive(20, 'B'), at(30, 'void', { fact: cancelled.id, reason: 'wrong unit' }));
    expect(folded.state).toMatchObject({ stage: 'onLine', cancelled: null, seenGone: null, place: { station: 'B' } });
    expect(folded.flags).toEqual([]);
  });

  it('takes no place on a feeder line either', () => {
    expect(fold(arrive(0, 'F1'), arrive(1, 'A'), ship(10), arrive(20, 'F2')).history.stays.map(({ station }) => station)).toEqual(['F1', 'A']);
  });

  it('is not released any more; what is cancelled and shipped nevertheless is shipped, with a flag', () => {
    expect(fold(arrive(0, 'A'), ship(10), release(20)).state).toMatchObject({ stage: 'shipped', released: null });
    expect(codes(arrive(0, 'A'), release(5), ship(10), release(20))).toEqual(['gone']);
    expect(fold(cancel(10), ship(20)).state).toMatchObject({ stage: 'shipped', cancelled: minute(10), shipped: minute(20) });
    expect(codes(cancel(10), ship(20))).toEqual(['notReleased', 'gone']);
    const withdrawn = fold(release(5), ship(10), cancel(20));
    expect(withdrawn.state).toMatchObject({ stage: 'shipped', cancelled: minute(20) });
    expect(withdrawn.flags.map(({ code }) => code)).toEqual(['gone']);
    expect(fold(release(5), ship(10), cancel(20), comeBack(30)).state.stage).toBe('cancelled');
  });

  it('cannot come back when it never went', () => {
    const here = fold(arrive(0, 'A'), comeBack(10));
    expect(here.state).toMatchObject({ stage: 'onLine', place: { station: 'A' } });
    expect(here.flags.map(({ code }) => code)).toEqual(['twice']);
  });
});

describe('a promise', () => {
  const promise = (m: number, day: string | null, who = 'office-1') => at(m, 'promise', { unit: U, promise: day, reason: 'Axles late' }, { who });
  it('that is the same again was not moved', () => {
    expect(fold(promise(5, '2026-06-05')).state).toMatchObject({ promise: '2026-06-05', firstPromise: '2026-06-05', promiseMoved: null });
    const twice = fold(promise(5, '2026-06-09', 'office-1'), promise(6, '2026-06-09', 'office-2')).state;
    expect(twice.promiseMoved).toMatchObject({ who: 'office-1', at: minute(5) });
    expect(fold(registered(U)).state.promiseMoved).toBeNull();
  });

  it('that differs was, also back to the first, by a second registration, or to none', () => {
    expect(fold(promise(5, '2026-06-09'), promise(6, '2026-06-05')).state).toMatchObject({ promise: '2026-06-05', promiseMoved: { at: minute(6) } });
    expect(fold(promise(5, null)).state).toMatchObject({ promise: null, firstPromise: '2026-06-05', promiseMoved: { at: minute(5) } });
    const again = fold({ ...registered(U, { promise: '2026-06-12' }), happened: minute(7) });
    expect(again.state).toMatchObject({ promise: '2026-06-12', firstPromise: '2026-06-05', promiseMoved: { who: 'badge-1', at: minute(7) } });
  });

  it('is the first one where none was registered', () => {
    const none = foldUnit(U, [registered(U, { promise: null }), promise(5, '2026-06-09')], setups);
    expect(none.state).toMatchObject({ promise: '2026-06-09', firstPromise: '2026-06-09', promiseMoved: null });
  });
});
