import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { countAgainstPlan, datesOfMonth, planDays } from '../../../server/core/rates/count-plan.ts';
import type { Passage } from '../../../server/core/rates/count-points.ts';
import type { SetupVersion } from '../../../server/core/setup/plant.ts';
import { minute } from '../../support/given.ts';
import { setups } from '../../support/floor-days.ts';

const june = datesOfMonth('2026-06-17');
const passage = (date: string, i = 0): Passage => ({ point: 'X', unit: `U${date}-${i}`, model: 'M', at: 0, date, assumed: false, by: 'f' });
/** By hand: 460 minutes of the day and 330 of the night, a unit each 30. */
const WEEKDAY = (460 + 330) / 30;
const SATURDAY = 460 / 30;

describe('datesOfMonth', () => {
  it('are the days luxon counts', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 36_000 }), (days) => {
      const date = DateTime.fromMillis(days * 86_400_000, { zone: 'utc' });
      const dates = datesOfMonth(date.toISODate()!);
      expect([dates[0], dates.at(-1), dates.length]).toEqual([date.startOf('month').toISODate(), date.endOf('month').toISODate(), date.daysInMonth]);
    }));
  });
});

describe('planDays', () => {
  it('plans working minutes by the pace, a night for the date it begins on', () => {
    const days = planDays(setups, june, minute(0));
    expect(days).toHaveLength(30);
    for (const { date, planned } of days) {
      const weekday = DateTime.fromISO(date, { zone: 'utc' }).weekday;
      expect(planned, date).toBeCloseTo(weekday === 7 ? 0 : weekday === 6 ? SATURDAY : WEEKDAY, 9);
    }
  });

  it('knows what of a day is past, also after midnight', () => {
    const by = (m: number) => planDays(setups, ['2026-06-01', '2026-06-02'], minute(m));
    expect(by(0)[0]).toMatchObject({ plannedByNow: 0, minutesLeft: 790 });
    expect(by(10 * 60)[0]).toMatchObject({ plannedByNow: 220 / 30, minutesLeft: 570 });
    // 01:00 of Tuesday: an hour of Monday's night is left, Tuesday has not begun.
    expect(by(25 * 60)).toMatchObject([{ minutesLeft: 60 }, { plannedByNow: 0, minutesLeft: 790 }]);
    expect(by(26 * 60)[0]!.plannedByNow).toBeCloseTo(WEEKDAY, 9);
  });

  it('follows a set-up that is changed in mid-month from the day it holds, and a closed day', () => {
    const plant = setups[0]!.plant;
    const faster: SetupVersion = {
      version: 2, validFrom: minute(14 * 1_440),
      plant: { ...plant, lines: plant.lines.map((line) => ({ ...line, pace: 20 })), calendars: plant.calendars.map((calendar) => ({ ...calendar, exceptions: [{ date: '2026-06-16', kind: 'closed' as const, shifts: [], note: '' }] })) },
    };
    const planned = Object.fromEntries(planDays([...setups, faster], june, minute(0)).map((day) => [day.date, day.planned]));
    expect(planned['2026-06-12']).toBeCloseTo(790 / 30, 9);
    expect(planned['2026-06-15']).toBeCloseTo(790 / 20, 9);
    expect(planned['2026-06-16']).toBe(0);
  });

  it('works the common minutes of two shifts once', () => {
    const plant = setups[0]!.plant;
    const day = plant.calendars[0]!.shifts[0]!;
    const overlapping = setups.map((setup) => ({ ...setup, plant: { ...plant, calendars: [{ ...plant.calendars[0]!, shifts: [day, { ...day, name: 'Late', start: '12:00', end: '18:00', breaks: [] }] }] } }));
    expect(planDays(overlapping, ['2026-06-01'], minute(0))[0]!.planned).toBeCloseTo((460 + 240) / 30, 9);
  });
});

describe('countAgainstPlan', () => {
  it('tells a month to date, what is left and what each day left has to bring', () => {
    // Wednesday 3 June, 10:00: two days and 220 minutes are past; 50 units came, two of them on a day of another month.
    const days = planDays(setups, june, minute(2 * 1_440 + 600));
    const passages = [...Array.from({ length: 24 }, (_, i) => passage('2026-06-01', i)), ...Array.from({ length: 24 }, (_, i) => passage('2026-06-02', i)), passage('2026-05-30'), passage('2026-05-31')];
    const told = countAgainstPlan(passages, days);
    // June 2026 has 22 weekdays and 4 Saturdays.
    const planned = 22 * WEEKDAY + 4 * SATURDAY;
    expect(told.counted).toBe(48);
    expect(told.planned).toBeCloseTo(planned, 9);
    expect(told.plannedByNow).toBeCloseTo(2 * WEEKDAY + 220 / 30, 9);
    expect(told.ahead).toBeCloseTo(48 - 2 * WEEKDAY - 220 / 30, 9);
    expect(told.remainingDays).toBe(24);
    expect(told.neededPerDay).toBeCloseTo((planned - 48) / 24, 9);
    expect(told.neededPace).toBeCloseTo((20 * 790 + 4 * 460 - 220) / (planned - 48), 9);
    expect(told.days[0]).toMatchObject({ date: '2026-06-01', counted: 24 });
    expect(told.days[0]!.passages).toHaveLength(24);
  });

  it('needs nothing once the plan is reached, and says when no day is left', () => {
    const over = planDays(setups, ['2026-06-01'], minute(3_000));
    expect(countAgainstPlan([], over)).toMatchObject({ remainingDays: 0, neededPerDay: null, neededPace: null });
    expect(countAgainstPlan(Array.from({ length: 30 }, (_, i) => passage('2026-06-01', i)), over)).toMatchObject({ neededPerDay: 0, neededPace: null });
    expect(countAgainstPlan([], [])).toMatchObject({ planned: 0, counted: 0, neededPerDay: 0 });
  });

  it('reaches the plan when each day left brings what is needed, and splits planned into past and to come', () => {
    fc.assert(fc.property(fc.integer({ min: -1_000, max: 45_000 }), fc.array(fc.integer({ min: 0, max: 29 }), { maxLength: 60 }), (m, on) => {
      const told = countAgainstPlan(on.map((day, i) => passage(june[day]!, i)), planDays(setups, june, minute(m)));
      if (told.neededPerDay !== null) expect(told.counted + told.neededPerDay * told.remainingDays).toBeGreaterThanOrEqual(told.planned - 1e-6);
      expect(told.plannedByNow + told.days.reduce((sum, { minutesLeft }) => sum + minutesLeft, 0) / 30).toBeCloseTo(told.planned, 6);
      expect(told.days.reduce((sum, { counted }) => sum + counted, 0)).toBe(told.counted);
      expect(told.ahead).toBeCloseTo(told.counted - told.plannedByNow, 9);
    }), { numRuns: 60 });
  });
});
