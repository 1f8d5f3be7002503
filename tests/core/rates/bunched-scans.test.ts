import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BUNCH_RULE, bunchedScans, isScan, type PlaceOfScan, type Scan } from '../../../server/core/rates/bunched-scans.ts';
import { at, minute } from '../../support/given.ts';

/** A has one place and 25 minutes of work, B two places, Q a glance of 2 minutes. */
const PLACES: Record<string, { standard: number; places: number }> = { A: { standard: 25, places: 1 }, B: { standard: 30, places: 2 }, Q: { standard: 2, places: 1 } };
const placeOf: PlaceOfScan = ({ station }) => PLACES[station]!;
const scan = (kind: 'arrive' | 'finish' | 'leave', unit: string, station: string, seconds: number, more = {}): Scan => at(seconds / 60, kind, { unit, station }, more);
const marks = (...scans: Scan[]): boolean[] => {
  const bunched = bunchedScans(scans, placeOf);
  return scans.map(({ id }) => bunched.has(id));
};

describe('bunchedScans', () => {
  it('are a coming and a finish of one unit within a minute, where there is work', () => {
    expect(marks(scan('arrive', 'U1', 'A', 0), scan('finish', 'U1', 'A', 20))).toEqual([true, true]);
    expect(marks(scan('arrive', 'U1', 'A', 0), scan('finish', 'U1', 'A', 60))).toEqual([false, false]);
    expect(marks(scan('arrive', 'U1', 'Q', 0), scan('finish', 'U1', 'Q', 20))).toEqual([false, false]);
  });

  it('are comings of one unit at two stations', () => {
    expect(marks(scan('arrive', 'U1', 'A', 0), scan('arrive', 'U1', 'B', 30))).toEqual([true, true]);
    expect(marks(scan('arrive', 'U1', 'Q', 0), scan('arrive', 'U1', 'A', 30))).toEqual([false, false]);
  });

  it('are two units in one place, not in two', () => {
    expect(marks(scan('finish', 'U1', 'A', 0), scan('finish', 'U2', 'A', 10))).toEqual([true, true]);
    expect(marks(scan('arrive', 'U1', 'A', 0), scan('arrive', 'U2', 'A', 10))).toEqual([true, true]);
    expect(marks(scan('finish', 'U1', 'B', 0), scan('finish', 'U2', 'B', 10))).toEqual([false, false]);
  });

  it('are not what a lead does one after the other when the line moves', () => {
    expect(marks(scan('finish', 'U1', 'A', 0), scan('leave', 'U1', 'A', 5), scan('arrive', 'U1', 'B', 10), scan('arrive', 'U2', 'A', 20))).toEqual([false, false, false, false]);
  });

  it('are told of one device and of its own clock only', () => {
    expect(marks(scan('arrive', 'U1', 'A', 0), scan('finish', 'U1', 'A', 20, { device: 'kiosk-2' }))).toEqual([false, false]);
    expect(marks(scan('arrive', 'U1', 'A', 0), scan('finish', 'U1', 'A', 20, { told: true }))).toEqual([false, false]);
  });

  it('are found among many, three in a row all of them', () => {
    expect(marks(scan('arrive', 'U1', 'A', 0), scan('arrive', 'U9', 'B', 5), scan('finish', 'U1', 'A', 10), scan('finish', 'U2', 'A', 20))).toEqual([true, false, true, true]);
  });

  it('are those that a look at every pair finds, in whatever order they are given', () => {
    const anyScan = fc.record({
      kind: fc.constantFrom('arrive' as const, 'finish' as const, 'leave' as const), unit: fc.constantFrom('U1', 'U2'), station: fc.constantFrom('A', 'B', 'Q'),
      seconds: fc.integer({ min: 0, max: 200 }), device: fc.constantFrom('k1', 'k2'),
    });
    fc.assert(fc.property(fc.uniqueArray(anyScan, { selector: ({ seconds }) => seconds, maxLength: 12 }), (draws) => {
      const scans = draws.map(({ kind, unit, station, seconds, device }) => scan(kind, unit, station, seconds, { device }));
      const expected = new Set<string>();
      for (const a of scans) for (const b of scans) {
        const gap = b.happened - a.happened;
        if (gap <= 0 || gap >= 60_000 || a.device !== b.device || PLACES[a.station]!.standard < 5) continue;
        const shape = `${a.kind} ${b.kind} ${a.unit === b.unit ? 'one' : 'two'} ${a.station === b.station ? 'here' : 'there'}`;
        const always = ['arrive finish one here', 'arrive arrive one there'].includes(shape);
        const onePlace = ['arrive arrive two here', 'finish finish two here'].includes(shape) && a.station === 'A';
        if (always || onePlace) expected.add(a.id).add(b.id);
      }
      expect(bunchedScans(scans, placeOf)).toEqual(expected);
      expect(bunchedScans([...scans].reverse(), placeOf)).toEqual(expected);
    }), { numRuns: 1_000 });
  });

  it('follow the rule they are given', () => {
    const scans = [scan('arrive', 'U1', 'Q', 0), scan('finish', 'U1', 'Q', 100)];
    expect(bunchedScans(scans, placeOf, BUNCH_RULE).size).toBe(0);
    expect(bunchedScans(scans, placeOf, { within: 2, leastStandard: 1 }).size).toBe(2);
    expect(scans[0]!.happened).toBe(minute(0));
  });
});

describe('isScan', () => {
  it('takes what states a unit at a station', () => {
    expect(isScan(at(0, 'leaveShort', { unit: 'U1', station: 'A', items: [] }))).toBe(true);
    expect(isScan(at(0, 'roll', { line: 'MAIN' }))).toBe(false);
  });
});
