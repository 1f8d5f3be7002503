import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { individualsChart } from '../../../server/core/rates/control-limits.ts';
import { dwellTrend } from '../../../server/core/rates/dwell-trend.ts';
import { visitRecords } from '../../../server/core/rates/visit-records.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';
import { floorDays } from '../../support/floor-days.ts';

const WEEK = 7 * 1_440;
/** The flow rates of NIST/SEMATECH e-Handbook 6.3.2.2 as dwells of ten weeks, one visit a week. */
const FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

describe('dwellTrend', () => {
  it('gives ten weeks the limits of the handbook', () => {
    const setups = setupOf(aPlant(aLine([aStation('A')]), { A: 40 }));
    const facts = FLOW.flatMap((dwell, i) => [
      registered(`U${i}`, { sequence: i }), at(i * WEEK, 'arrive', { unit: `U${i}`, station: 'A' }), at(i * WEEK + 40, 'finish', { unit: `U${i}`, station: 'A' }),
      at(i * WEEK + dwell, 'leave', { unit: `U${i}`, station: 'A' }),
    ]);
    const history = lineHistoryOf('MAIN', setups, facts);
    const records = visitRecords(history, deriveVisits(history, minute(11 * WEEK)), minute(0), minute(11 * WEEK));
    const { weeks, chart } = dwellTrend(records, 'dwell');
    expect(weeks.map(({ week }) => week)).toEqual(Array.from({ length: 10 }, (_, i) => `2026-W${23 + i}`));
    expect(Math.abs(chart!.values.lower - 45.8159)).toBeLessThan(5e-5);
    expect(Math.abs(chart!.values.upper - 55.8041)).toBeLessThan(5e-5);
    expect(weeks[0]!.keys).toMatchObject([{ unit: 'U0', arrived: minute(0) }]);
    // Finished at standard: what is over is roll lag, so that the delay is the dwell less 40.
    expect(dwellTrend(records, 'stationDelay').chart!.values.centre).toBeCloseTo(50.81 - 40, 9);
  });

  it('has a point for each week with a counted visit, in order, and the limits of those points', () => {
    fc.assert(fc.property(floorDays, ({ history, visits, at: now }) => {
      const records = visitRecords(history, visits, 0, now + 1);
      const counted = records.filter(({ standing }) => standing === 'counted');
      const { weeks, chart } = dwellTrend(records, 'dwell');
      expect(weeks.map(({ week }) => week)).toEqual([...new Set(counted.map(({ week }) => week))].sort());
      expect(weeks.reduce((sum, { mean, visits: n }) => sum + mean * n, 0)).toBeCloseTo(counted.reduce((sum, { visit }) => sum + visit.dwell, 0), 6);
      expect(chart).toEqual(individualsChart(weeks.map(({ mean }) => mean)));
    }), { numRuns: 120 });
  });
});
