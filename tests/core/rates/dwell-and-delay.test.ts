import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Dimension, dwellRows, VISIT_STATES } from '../../../server/core/rates/dwell-and-delay.ts';
import { visitRecords } from '../../../server/core/rates/visit-records.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';
import { floorDays } from '../../support/floor-days.ts';

const setups = setupOf(aPlant(aLine([aStation('A'), aStation('B'), aStation('C')]), { A: 25, B: 30, C: 20 }));
const told = (facts: Parameters<typeof lineHistoryOf>[2], m: number) => {
  const history = lineHistoryOf('MAIN', setups, facts);
  return visitRecords(history, deriveVisits(history, minute(m)), minute(0), minute(100_000));
};
const sum = (values: number[]): number => values.reduce((total, value) => total + value, 0);

describe('dwellRows', () => {
  it('tells a station by its visits that left, and counts the missed and the open one apart', () => {
    const first = at(0, 'arrive', { unit: 'U1', station: 'A' });
    const second = at(40, 'arrive', { unit: 'U2', station: 'A' });
    const facts = [
      registered('U1'), registered('U2', { sequence: 2 }), registered('U3', { sequence: 3 }), registered('U4', { sequence: 4 }),
      first, at(20, 'finish', { unit: 'U1', station: 'A' }), at(30, 'arrive', { unit: 'U1', station: 'B' }),
      second, at(75, 'finish', { unit: 'U2', station: 'A' }), at(80, 'arrive', { unit: 'U2', station: 'B' }),
      at(90, 'arrive', { unit: 'U3', station: 'B' }), at(95, 'arrive', { unit: 'U4', station: 'A' }),
    ];
    const [row] = dwellRows(told(facts, 100).filter(({ visit }) => visit.station === 'A'), ['station']);
    expect(row).toMatchObject({ station: 'A', model: null, shift: null, week: null, visits: 2, missed: 1, provisional: 1, finishAssumed: 0 });
    // By hand: dwells 30 and 40; work 20 and 35 against a standard of 25; then U1 lags 10 minutes behind the free B and U2 is blocked by U1 for 5.
    expect(row!.dwell).toMatchObject({ count: 2, sum: 70, mean: 35, min: 30, p50: 35, p90: 39, max: 40 });
    expect(row!.states.work).toMatchObject({ sum: 55, min: 20, max: 35 });
    expect(row!.states.rollLag).toMatchObject({ sum: 10, max: 10 });
    expect(row!.states.blocked).toMatchObject({ sum: 5, max: 5 });
    expect(row!.stationDelay).toMatchObject({ sum: 20, mean: 10 });
    expect(row!.recovered).toMatchObject({ sum: 5, mean: 2.5 });
    expect(row!.keys).toEqual([
      { unit: 'U1', station: 'A', arrived: minute(0), arrivedBy: first.id }, { unit: 'U2', station: 'A', arrived: minute(40), arrivedBy: second.id },
    ]);
    expect(row!.missedKeys).toEqual([{ unit: 'U3', station: 'A', arrived: null, arrivedBy: null }]);
    expect(row!.provisionalKeys.map(({ unit }) => unit)).toEqual(['U4']);
  });

  it('has no figures where every visit is missed or open', () => {
    const [row] = dwellRows(told([registered('U1'), at(0, 'arrive', { unit: 'U1', station: 'A' })], 10), []);
    expect(row).toMatchObject({ visits: 0, provisional: 1, dwell: null, stationDelay: null, recovered: null, keys: [] });
    expect(dwellRows([], ['station'])).toEqual([]);
  });

  it('adds up: rows to the whole, states to dwell, whatever it is told apart by', () => {
    const dimensions = fc.subarray<Dimension>(['station', 'model', 'shift', 'week']);
    fc.assert(fc.property(floorDays, dimensions, ({ history, visits, at: now }, by) => {
      const records = visitRecords(history, visits, 0, now + 1);
      const rows = dwellRows(records, by);
      const counted = visits.filter((visit) => !visit.notScanned && visit.left !== null);
      expect(sum(rows.map((row) => row.visits))).toBe(counted.length);
      expect(sum(rows.map((row) => row.missed))).toBe(visits.filter((visit) => visit.notScanned).length);
      expect(sum(rows.map((row) => row.provisional))).toBe(visits.filter((visit) => !visit.notScanned && visit.left === null).length);
      expect(sum(rows.map((row) => row.dwell?.sum ?? 0))).toBeCloseTo(sum(counted.map(({ dwell }) => dwell)), 6);
      expect(sum(rows.map((row) => row.stationDelay?.sum ?? 0))).toBeCloseTo(sum(counted.map(({ stationDelay }) => stationDelay)), 6);
      for (const row of rows) {
        expect(sum(VISIT_STATES.map((state) => row.states[state]?.sum ?? 0))).toBeCloseTo(row.dwell?.sum ?? 0, 6);
        expect(row.keys).toHaveLength(row.visits);
        for (const key of row.keys) expect(history.units.find(({ unit }) => unit === key.unit)!.stays.some((stay) => stay.arrivedBy === key.arrivedBy && stay.arrived === key.arrived)).toBe(true);
      }
      expect(new Set(rows.map(({ station, model, shift, week }) => JSON.stringify([station, model, shift, week]))).size).toBe(rows.length);
    }), { numRuns: 120 });
  });
});
