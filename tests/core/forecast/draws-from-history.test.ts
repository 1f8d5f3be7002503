import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawsFrom, holdDurations, holdLeft, PSEUDO_VISITS, RECENT_VISITS } from '../../../server/core/forecast/draws-from-history.ts';
import type { LineHistory } from '../../../server/core/timeline/line-history.ts';
import type { Visit } from '../../../server/core/timeline/visit.ts';
import { mean } from '../../support/given-forecast.ts';

let counted = 0;
function aVisit(station: string, work: number, more: Partial<Visit> & { held?: number; stops?: number[] } = {}): Visit {
  counted++;
  const { held = 0, stops = [], ...rest } = more;
  const stopped = stops.reduce((sum, minutes) => sum + minutes, 0);
  return {
    unit: `U${counted}`, line: 'MAIN', station, notScanned: false, arrived: counted, finished: counted + 1, finishAssumed: false, left: counted + 2, leftHow: 'scanned', provisional: false, standard: 20,
    minutes: { held, blocked: 0, rollLag: 0, stopped, work }, dwell: work + held + stopped, elapsed: work, stationDelay: 0, recovered: 0, state: null,
    causes: stops.map((minutes, i) => ({ id: `stop-${counted}-${i}`, kind: 'stop', minutes })), ...rest,
  };
}
const many = (count: number, make: (i: number) => Visit): Visit[] => Array.from({ length: count }, (_, i) => make(i));
const shareOf = (table: Float64Array, value: number): number => table.filter((entry) => Math.abs(entry - value) < 1e-9).length / table.length;

describe('drawsFrom', () => {
  it('draws work over standard from the latest 40 visits of the station', () => {
    const visits = [...many(30, () => aVisit('S1', 200)), ...many(RECENT_VISITS, (i) => aVisit('S1', i % 2 === 0 ? 10 : 30))];
    const { ratios } = drawsFrom(visits, ['S1'], []).get('S1')!;
    expect([shareOf(ratios, 0.5), shareOf(ratios, 1.5), shareOf(ratios, 10)]).toEqual([0.5, 0.5, 0]);
  });

  it('takes the latest by when they left, however they come', () => {
    const visits = many(60, (i) => aVisit('S1', i < 20 ? 100 : 20)).reverse();
    expect(shareOf(drawsFrom(visits, ['S1'], []).get('S1')!.ratios, 1)).toBe(1);
  });

  it('gives a station without history that of the line', () => {
    const draws = drawsFrom(many(40, () => aVisit('S1', 30, { held: 5, stops: [4], leftHow: 'short' })), ['S1', 'S2'], [12]);
    expect(draws.get('S2')).toEqual(draws.get('S1'));
    expect(shareOf(draws.get('S2')!.ratios, 1.5)).toBe(1);
  });

  it('blends the line in with the weight of 10 (1 - n / 40) visits', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 50 }), (n) => {
      const visits = [...many(40, () => aVisit('S1', 40)), ...many(n, () => aVisit('S2', 20))];
      const own = Math.min(n, RECENT_VISITS);
      const pseudo = PSEUDO_VISITS * (1 - own / RECENT_VISITS);
      // Of the line's visits 40 are of ratio 2 and `own` of ratio 1.
      const twos = (pseudo * 40) / (40 + own) / (own + pseudo);
      expect(Math.abs(shareOf(drawsFrom(visits, ['S1', 'S2'], []).get('S2')!.ratios, 2) - twos)).toBeLessThanOrEqual(1 / 512 + 1e-9);
    }));
  });

  it('works at standard and without trouble where nothing is known', () => {
    const { ratios, holds, stops, shorts } = drawsFrom([], ['S1'], []).get('S1')!;
    expect([...ratios]).toEqual([1, 1]);
    expect([holds.rate, stops.rate, shorts.rate]).toEqual([0, 0, 0]);
  });

  it('counts holds per visit, stops per hour of work, and shorts per visit', () => {
    const visits = many(40, (i) => aVisit('S1', 30, { held: i < 10 ? 15 : 0, stops: i < 4 ? [6, 12] : [], leftHow: i < 2 ? 'short' : 'scanned' }));
    const { holds, stops, shorts } = drawsFrom(visits, ['S1'], [25, 35]).get('S1')!;
    expect(holds.rate).toBeCloseTo(0.25, 12);
    expect(mean([...holds.minutes])).toBeCloseTo(15, 9);
    // Eight stops in twenty hours.
    expect(stops.rate).toBeCloseTo(8 / 20, 12);
    expect([shareOf(stops.minutes, 6), shareOf(stops.minutes, 12)]).toEqual([0.5, 0.5]);
    expect(shorts.rate).toBeCloseTo(0.05, 12);
    expect(mean([...shorts.minutes])).toBeCloseTo(30, 9);
  });

  it('leaves out visits that are open, missed, not finished, cut short by a pull off the line, or of a station not asked for', () => {
    const visits = [aVisit('S1', 20), aVisit('S1', 90, { left: null }), aVisit('S1', 90, { notScanned: true }), aVisit('S1', 90, { finished: null }), aVisit('S1', 5, { leftHow: 'pulledOff' }), aVisit('S9', 90)];
    expect(shareOf(drawsFrom(visits, ['S1'], []).get('S1')!.ratios, 1)).toBe(1);
  });

  it('takes no ratio of a visit without a standard, but its troubles', () => {
    const visits = many(40, (i) => aVisit('S1', 30, i < 20 ? { standard: 0, held: 8 } : {}));
    const { ratios, holds } = drawsFrom(visits, ['S1'], []).get('S1')!;
    expect(shareOf(ratios, 1.5)).toBe(1);
    expect(holds.rate).toBeCloseTo(0.5, 12);
  });

  it('never makes up a ratio or a duration that was not seen, and rates are those of some visits', () => {
    const visit = fc.record({ station: fc.constantFrom('S1', 'S2', 'S3'), work: fc.integer({ min: 0, max: 90 }), held: fc.integer({ min: 0, max: 30 }), short: fc.boolean() });
    fc.assert(fc.property(fc.array(visit, { minLength: 1, maxLength: 80 }), (seen) => {
      const visits = seen.map(({ station, work, held, short }) => aVisit(station, work, { held, leftHow: short ? 'short' : 'scanned' }));
      const known = new Set(seen.map(({ work }) => work / 20));
      for (const { ratios, holds, shorts } of drawsFrom(visits, ['S1', 'S2', 'S3'], [9]).values()) {
        expect(ratios.every((ratio) => known.has(ratio))).toBe(true);
        for (const { rate } of [holds, shorts]) expect(rate >= 0 && rate <= 1 + 1e-12).toBe(true);
      }
    }));
  });
});

describe('holds by reason', () => {
  const history = (holds: { reason: string; opened: number; cleared: number | null }[]): LineHistory => ({
    line: 'MAIN', setups: [], stops: [], floorTime: [],
    units: holds.map((hold, i) => ({
      unit: `U${i}`, model: 'M', options: [], sequence: i, plannedRelease: null, stays: [], offLine: [], gone: null,
      holds: [{ id: `H${i}`, unit: `U${i}`, keepsFrom: 'work', fromStation: null, ...hold }],
    })),
  });
  const elapsed = (a: number, b: number): number => b - a;

  it('are the working minutes of those cleared by then', () => {
    const known = holdDurations(history([
      { reason: 'Part missing', opened: 0, cleared: 30 }, { reason: 'Part missing', opened: 10, cleared: 100 }, { reason: 'Leak', opened: 5, cleared: 10 },
      { reason: 'Leak', opened: 5, cleared: null }, { reason: 'Leak', opened: 5, cleared: 500 },
    ]), 200, elapsed);
    expect(known).toEqual(new Map([['Part missing', [30, 90]], ['Leak', [5]]]));
  });

  it('say what is left of an open one: those of its reason that lasted at least as long; of a new reason, all', () => {
    const known = new Map([['Part missing', [30, 90, 200]], ['Leak', [5]]]);
    expect([...new Set(holdLeft(known, 'Part missing', 40))]).toEqual([50, 160]);
    expect([...new Set(holdLeft(known, 'Leak', 3))]).toEqual([2]);
    expect([...new Set(holdLeft(known, 'Leak', 45))]).toEqual([40]);
    expect([...new Set(holdLeft(known, 'Inspector away', 40))]).toEqual([50, 160]);
    expect([...new Set(holdLeft(new Map(), 'Inspector away', 40))]).toEqual([40]);
  });
});
