import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { instantOfLocal } from '../../../server/core/calendar/zone.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { addWork, alwaysWorks, calendarTable, wallAfter, workedBy } from '../../../server/core/forecast/calendar-table.ts';
import published from '../../published/time.json' with { type: 'json' };
import { calendarWc1, INDIANAPOLIS } from '../../support/calendar-wc1.ts';
import { alwaysWorking } from '../../support/given-forecast.ts';

const time = workingTimeOf([{ version: 1, validFrom: 0, plant: calendarWc1 }], { line: 'L', station: null }, []);
const MINUTE = 60_000;
// Wednesday 2026-05-27 05:00: before the shift; the stretches hold a holiday, and the clock changes of March and November are within a year.
const AT = Date.parse('2026-05-27T09:00Z');
const table = calendarTable(time, AT);

describe('calendarTable of WC-1', () => {
  it.each(published.workCalendar.cases)('ends $workMinutes minutes from $start at $endLocal', ({ start, workMinutes, endUTC }) => {
    const from = instantOfLocal(INDIANAPOLIS, start.slice(0, 10), start.slice(11));
    const own = calendarTable(time, from);
    expect(from + wallAfter(own, workMinutes) * MINUTE).toBe(Date.parse(endUTC));
    expect(workedBy(own, (Date.parse(endUTC) - from) / MINUTE)).toBeCloseTo(workMinutes, 9);
  });

  it('is working time itself, in both directions, over 300 days', () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 300 * 1_440, noNaN: true }), fc.oneof(fc.nat(600), fc.double({ min: 0.001, max: 20_000, noNaN: true })), (wall, work) => {
      const from = AT + wall * MINUTE;
      expect(workedBy(table, wall)).toBeCloseTo(time.workingBetween(AT, from), 6);
      expect(addWork(table, wall, work)).toBeCloseTo((time.addWorking(from, work) - AT) / MINUTE, 4);
    }), { numRuns: 500 });
  });

  it('undoes itself: by the instant at which some work is done just that much was worked', () => {
    fc.assert(fc.property(fc.double({ min: 0.001, max: 100_000, noNaN: true }), (work) => {
      expect(workedBy(table, wallAfter(table, work))).toBeCloseTo(work, 6);
    }));
  });

  it('never goes back', () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 1e5, noNaN: true }), fc.double({ min: 0, max: 1e5, noNaN: true }), fc.nat(500), (a, b, work) => {
      const [early, late] = [Math.min(a, b), Math.max(a, b)];
      expect(addWork(table, late, work)).toBeGreaterThanOrEqual(addWork(table, early, work));
      expect(addWork(table, early, work)).toBeGreaterThanOrEqual(early);
    }));
  });

  it('leaves an instant alone when there is nothing to work, also at night', () => {
    for (const wall of [0, 30, 700, 5_000.5]) expect(addWork(table, wall, 0)).toBe(wall);
  });

  it('ends a stretch at its earlier instant: what is done at the break is not done after it', () => {
    // 06:00 to 09:00 are 180 minutes; the break ends at 09:15. The table begins at 05:00.
    expect(wallAfter(table, 180)).toBe(240);
    expect(wallAfter(table, 181)).toBe(256);
  });
});

describe('calendars at their limits', () => {
  it('a calendar that ends has no instant beyond its work', () => {
    const total = workedBy(table, Number.POSITIVE_INFINITY);
    expect(total).toBeGreaterThan(400 * 5);
    expect(wallAfter(table, total)).toBeLessThan(400 * 1_440);
    expect(wallAfter(table, total + 1)).toBe(Number.POSITIVE_INFINITY);
    expect(addWork(table, Number.POSITIVE_INFINITY, 5)).toBe(Number.POSITIVE_INFINITY);
    expect(addWork(table, Number.POSITIVE_INFINITY, 0)).toBe(Number.POSITIVE_INFINITY);
  });

  it('a calendar that never works has no instant at all', () => {
    const closed = calendarTable({ ...time, stretches: () => [] }, AT);
    expect(wallAfter(closed, 1)).toBe(Number.POSITIVE_INFINITY);
    expect(workedBy(closed, 500)).toBe(0);
    expect(addWork(closed, 7, 0)).toBe(7);
    expect(alwaysWorks(closed)).toBe(false);
  });

  it('one that never pauses in 400 days never will; one that pauses once ends', () => {
    const day = 1_440 * MINUTE;
    const pausing = calendarTable({ stretches: (from, to) => [{ from, to: from + day }, { from: from + 2 * day, to }] }, AT);
    expect([alwaysWorks(calendarTable({ stretches: (from, to) => [{ from, to }] }, AT)), alwaysWorks(pausing)]).toEqual([true, false]);
    expect(wallAfter(pausing, 1_441)).toBe(2 * 1_440 + 1);
    expect(wallAfter(pausing, 400 * 1_440)).toBe(Number.POSITIVE_INFINITY);
  });

  it('one that always works counts every minute', () => {
    const always = alwaysWorking();
    expect(alwaysWorks(always)).toBe(true);
    expect(alwaysWorks(table)).toBe(false);
    fc.assert(fc.property(fc.double({ min: 0, max: 1e9, noNaN: true }), fc.double({ min: 0, max: 1e6, noNaN: true }), (wall, work) => {
      expect(workedBy(always, wall)).toBe(wall);
      expect(addWork(always, wall, work)).toBe(wall + work);
    }));
  });
});
