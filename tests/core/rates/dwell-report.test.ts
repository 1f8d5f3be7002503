import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { chargedMinutes } from '../../../server/core/delay/charged-minutes.ts';
import { lineDelayByShift, sumOfShifts } from '../../../server/core/delay/line-delay-by-shift.ts';
import type { Dimension } from '../../../server/core/rates/dwell-and-delay.ts';
import { chargesOf, type DwellInput, recordsOf, shiftConstraints, shiftDelays } from '../../../server/core/rates/dwell-input.ts';
import { DWELL_SORTS, type DwellQuestion, dwellReport } from '../../../server/core/rates/dwell-report.ts';
import { lineConstraints } from '../../../server/core/rates/line-constraint.ts';
import { reportPeriod } from '../../../server/core/rates/report-period.ts';
import { type Behind, BEHIND, visitsBehind } from '../../../server/core/rates/visits-behind.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { historyBetween } from '../../../server/core/timeline/history-between.ts';
import { addDays } from '../../../server/core/calendar/zone.ts';
import { type FloorDays, floorDays, setups, STATIONS } from '../../support/floor-days.ts';
import { at, minute, registered } from '../../support/given.ts';

const ALL = { station: '', model: '', shift: '' };
const NONE = { week: '', kind: '', reason: '' } as const;
const FIRST = '2026-06-01';

/** Days 1 to `days` of the drawn floor, as known at its end. */
function inputOf({ history, visits, at: told }: Pick<FloorDays, 'history' | 'visits' | 'at'>, days: number, from = 0): DwellInput {
  const time = workingTimeOf(history.setups, { line: 'MAIN', station: null }, []);
  const period = reportPeriod(time, 'UTC', addDays(FIRST, from), addDays(FIRST, from + days - 1), told);
  const reaching = visits.filter((visit) => visit.arrived !== null && visit.arrived < period.ends && (visit.left ?? Infinity) >= period.begins);
  return { history, visits: reaching, at: told, period, filter: ALL };
}

const question = (input: DwellInput, by: Dimension[], more: Partial<DwellQuestion> = {}): DwellQuestion => ({ ...input, by, sort: 'order', measure: 'dwell', ...more });
const sum = <T>(rows: readonly T[], of: (row: T) => number): number => rows.reduce((total, row) => total + of(row), 0);
const bys = fc.constantFrom<Dimension[]>(['station'], ['model'], ['shift'], ['week'], ['station', 'model'], ['station', 'shift'], ['station', 'week'], ['model', 'week']);

describe('the days of a report', () => {
  const time = workingTimeOf(setups, { line: 'MAIN', station: null }, []);
  it('hold the night shift that began on the last of them, and not the one that began before the first', () => {
    // The floor's night shift runs from 20:00 to 02:00, Monday to Friday.
    expect(reportPeriod(time, 'UTC', '2026-06-02', '2026-06-03', Infinity)).toMatchObject({ begins: minute(1_440 + 120), ends: minute(3 * 1_440 + 120) });
    expect(reportPeriod(time, 'UTC', '2026-06-01', '2026-06-07', Infinity)).toMatchObject({ begins: minute(0), ends: minute(7 * 1_440) });
  });
  it('end at the instant they are told at, and are empty before they came', () => {
    expect(reportPeriod(time, 'UTC', '2026-06-02', '2026-06-03', minute(1_440 + 600)).ends).toBe(minute(1_440 + 600));
    const future = reportPeriod(time, 'UTC', '2026-06-09', '2026-06-10', minute(600));
    expect(future.ends).toBe(future.begins);
  });
  it('follow one another without a gap', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 200 }), fc.integer({ min: 0, max: 20 }), (start, days) => {
      const day = addDays(FIRST, start);
      const own = reportPeriod(time, 'UTC', day, addDays(day, days), Infinity);
      expect(reportPeriod(time, 'UTC', addDays(day, days + 1), addDays(day, days + 2), Infinity).begins).toBe(own.ends);
    }), { numRuns: 50 });
  });
});

describe('dwell and delay', () => {
  it('adds up over its rows, whatever they are told apart by, to the whole and to the line delay of the shifts', () => {
    fc.assert(fc.property(floorDays, bys, fc.integer({ min: 1, max: 9 }), (days, by, length) => {
      const input = inputOf(days, length);
      const { rows, whole, lineDelay, causes } = dwellReport(question(input, by));
      expect(sum(rows, ({ visits }) => visits)).toBe(whole.visits);
      expect(sum(rows, ({ stationDelay }) => stationDelay?.sum ?? 0)).toBeCloseTo(whole.stationDelay?.sum ?? 0, 6);
      expect(sum(causes, ({ amount }) => amount)).toBeCloseTo(whole.stationDelay?.sum ?? 0, 6);
      expect(sum(rows, ({ lineMinutes }) => lineMinutes)).toBeCloseTo(lineDelay.totalMinutes, 6);
      expect(whole.lineMinutes).toBeCloseTo(lineDelay.totalMinutes, 6);
    }), { numRuns: 30 });
  });

  it('tells the line delay that the shifts have, told from the whole history at once', () => {
    fc.assert(fc.property(floorDays, fc.integer({ min: 1, max: 9 }), (days, length) => {
      const input = inputOf(days, length);
      const ours = shiftDelays(input);
      const plain = input.period.ends <= input.period.begins ? [] : lineDelayByShift(input.history, input.period.begins, input.period.ends);
      expect(ours.map(({ date, shift }) => [date, shift])).toEqual(plain.map(({ date, shift }) => [date, shift]));
      expect(sumOfShifts(ours).totalMinutes).toBeCloseTo(sumOfShifts(plain).totalMinutes, 6);
      expect(sum(chargedMinutes(input.history, ours), ({ minutes }) => minutes)).toBeCloseTo(sumOfShifts(ours).totalMinutes, 6);
    }), { numRuns: 15 });
  });

  it('has starved and idle minutes of a station that are those of its shifts, and none for a model', () => {
    fc.assert(fc.property(floorDays, fc.integer({ min: 1, max: 9 }), (days, length) => {
      const input = inputOf(days, length);
      const constraints = shiftConstraints(input);
      const plain = lineConstraints(input.history, input.visits, input.at, constraints.map(({ from, to }) => ({ from, to })));
      constraints.forEach((own, i) => own.loads.forEach((load, k) => {
        expect(load.starved).toBeCloseTo(plain[i]!.loads[k]!.starved, 6);
        expect(load.blocked).toBeCloseTo(plain[i]!.loads[k]!.blocked, 6);
      }));
      for (const row of dwellReport(question(input, ['station'])).rows.filter(({ station }) => station !== '')) {
        expect(row.starved).toBeCloseTo(sum(constraints.flatMap(({ loads }) => loads).filter(({ station }) => station === row.station), ({ starved }) => starved), 6);
      }
      for (const row of dwellReport(question(input, ['model'])).rows) expect([row.starved, row.idle]).toEqual([null, null]);
    }), { numRuns: 15 });
  });

  it('sorts rows by what is asked for, the largest first, and else in the order of the line', () => {
    fc.assert(fc.property(floorDays, fc.constantFrom(...DWELL_SORTS), (days, sort) => {
      const { rows } = dwellReport(question(inputOf(days, 9), ['station'], { sort }));
      const values = rows.map(({ station, visits, stationDelay, lineMinutes, dwell, states, starved }) => ({
        order: -[...STATIONS, ''].indexOf(station as 'A'), stationDelay: stationDelay?.sum ?? -1, lineDelay: lineMinutes, dwell: dwell?.p50 ?? -1, blocked: states.blocked?.sum ?? -1, starved: starved ?? -1, visits,
      })[sort]);
      expect(values).toEqual(values.toSorted((a, b) => b - a));
    }), { numRuns: 15 });
  });

  it('of one station, model or shift is its row of the report of all', () => {
    fc.assert(fc.property(floorDays, fc.constantFrom<Dimension>('station', 'model', 'shift'), (days, dimension) => {
      const input = inputOf(days, 9);
      for (const row of dwellReport(question(input, [dimension])).rows.filter((one) => one[dimension] !== '')) {
        const { whole } = dwellReport(question({ ...input, filter: { ...ALL, [dimension]: row[dimension] } }, []));
        expect([whole.visits, whole.missed, whole.provisional]).toEqual([row.visits, row.missed, row.provisional]);
        expect(whole.lineMinutes).toBeCloseTo(row.lineMinutes, 6);
        expect(whole.dwell?.p50 ?? null).toEqual(row.dwell?.p50 ?? null);
      }
    }), { numRuns: 15 });
  });

  it('of a floor where nothing happened has no row, no cause, no point, and no constraint', () => {
    const history = lineHistoryOf('MAIN', setups, []);
    const told = dwellReport(question(inputOf({ history, visits: [], at: minute(9_000) }, 5), ['station']));
    expect(told).toMatchObject({ rows: [], causes: [], whole: { visits: 0, dwell: null, lineMinutes: 0 }, trend: { weeks: [], chart: null } });
    expect(told.constraintSteps.map(({ station }) => station)).toEqual(Array(5).fill(null));
  });

  it('tells the constraint day by day in one week, and week by week over two', () => {
    const facts = [registered('U1'), at(400, 'arrive', { unit: 'U1', station: 'A' }), at(430, 'arrive', { unit: 'U1', station: 'B' })];
    const history = lineHistoryOf('MAIN', setups, facts);
    const stepsOf = (days: number): string[] => dwellReport(question(inputOf({ history, visits: deriveVisits(history, minute(12 * 1_440)), at: minute(12 * 1_440) }, days), ['station'])).constraintSteps.map(({ date, week }) => date ?? week);
    expect(stepsOf(2)).toEqual(['2026-06-01', '2026-06-02']);
    expect(stepsOf(10)).toEqual(['2026-W23', '2026-W24']);
  });
});

describe('the visits behind a figure', () => {
  const behindOf = (input: DwellInput, of: Behind, more: Partial<Parameters<typeof visitsBehind>[0]> = {}) => visitsBehind({ ...input, ...NONE, of, ...more });

  it('are as many as the row counts, and have the minutes that it sums', () => {
    fc.assert(fc.property(floorDays, fc.integer({ min: 1, max: 9 }), (days, length) => {
      const input = inputOf(days, length);
      for (const row of dwellReport(question(input, ['station', 'week'])).rows.filter(({ station }) => station !== '')) {
        const own = { ...input, filter: { ...ALL, station: row.station! } };
        const of = (figure: Behind) => behindOf(own, figure, { week: row.week! });
        expect([of('counted').length, of('missed').length, of('provisional').length, of('finishAssumed').length]).toEqual([row.visits, row.missed, row.provisional, row.finishAssumed]);
        expect(sum(of('stationDelay'), ({ visit }) => visit.stationDelay)).toBeCloseTo(row.stationDelay?.sum ?? 0, 6);
        for (const state of ['held', 'blocked', 'rollLag', 'stopped', 'work'] as const) expect(sum(of(state), ({ visit }) => visit.minutes[state])).toBeCloseTo(row.states[state]?.sum ?? 0, 6);
        expect(sum(of('recovered'), ({ visit }) => visit.recovered)).toBeCloseTo(row.recovered?.sum ?? 0, 6);
      }
    }), { numRuns: 30 });
  });

  it('of a cause are those it cost minutes, as many as the cause says', () => {
    fc.assert(fc.property(floorDays, (days) => {
      const input = inputOf(days, 9);
      for (const { kind, reason, visits, amount } of dwellReport(question(input, [])).causes) {
        const behind = behindOf(input, 'cause', { kind, reason });
        expect(behind).toHaveLength(visits);
        if (kind === 'hold' || kind === 'stop') expect(sum(behind.flatMap((visit) => visit.reasons).filter((own) => own.kind === kind && own.reason === reason), ({ minutes }) => minutes)).toBeCloseTo(amount, 6);
      }
    }), { numRuns: 15 });
  });

  it('of line delay carry what is charged to units at stations', () => {
    fc.assert(fc.property(floorDays, (days) => {
      const input = inputOf(days, 9);
      const ofUnits = chargesOf(input, shiftDelays(input)).filter(({ cause }) => cause.unit !== null && cause.station !== null && cause.kind !== 'lateRelease' && cause.kind !== 'earlyRelease' && cause.kind !== 'pulledOff');
      const known = new Set([...recordsOf(input).reaching, ...recordsOf(input).begun].map(({ key }) => `${key.unit} ${key.station}`));
      const told = new Set(behindOf(input, 'lineDelay').map(({ key }) => `${key.unit} ${key.station}`));
      for (const { cause } of ofUnits) if (Math.abs(cause.lineMinutes) > 1e-9 && known.has(`${cause.unit} ${cause.station}`)) expect(told).toContain(`${cause.unit} ${cause.station}`);
    }), { numRuns: 15 });
  });

  it('come in order of arrival, whatever is asked for', () => {
    fc.assert(fc.property(floorDays, fc.constantFrom(...BEHIND), (days, of) => {
      const arrived = behindOf(inputOf(days, 9), of, of === 'cause' ? { kind: 'rollLag' } : {}).map(({ key }) => key.arrived ?? Infinity);
      expect(arrived).toEqual(arrived.toSorted((a, b) => a - b));
    }), { numRuns: 30 });
  });
});

describe('the part of a history that a period needs', () => {
  it('tells the visits of the period as the whole does', () => {
    fc.assert(fc.property(floorDays, fc.integer({ min: 0, max: 8 }), ({ history, visits, at: told }, day) => {
      const [from, to] = [minute(day * 1_440), minute((day + 1) * 1_440)];
      const within = (all: typeof visits) => all.filter((visit) => visit.arrived !== null && visit.arrived >= from && visit.arrived < to).map(({ unit, station, minutes }) => ({ unit, station, minutes }));
      expect(within(deriveVisits(historyBetween(history, from, Math.max(to, told)), told))).toEqual(within(visits));
    }), { numRuns: 15 });
  });
});
