import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chooseShift } from '../../../server/core/calendar/shift-choice.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { aLine, aPlant, aStation, minute, setupOf } from '../../support/given.ts';

/** Day 06:00–14:00 and Night 22:00–06:00 on weekdays; a Saturday with two shifts that are both called Day. */
const weekdays = ['mon', 'tue', 'wed', 'thu', 'fri'] as const;
const shift = (name: string, start: string, end: string) => ({ name, start, end, breaks: [] });
const calendar = {
  code: 'always', shifts: [{ ...shift('Day', '06:00', '14:00'), weekdays: [...weekdays] }, { ...shift('Night', '22:00', '06:00'), weekdays: [...weekdays] }],
  exceptions: [{ date: '2026-06-06', kind: 'overtime' as const, shifts: [shift('Day', '06:00', '10:00'), shift('Day', '12:00', '15:00')], note: '' }],
};
const setups = setupOf(aPlant(aLine([aStation('S1')]), { S1: 10 }, { calendars: [calendar] }));
const time = workingTimeOf(setups, { line: 'MAIN', station: null }, []);
const at = (day: number, hour: number): number => minute((day * 24 + hour) * 60);
const choose = (now: number, date: string | null = null, key: string | null = null) => chooseShift(time, 'UTC', now, date, key);

describe('the shift asked for', () => {
  it('is the shift now when nothing is asked, and between shifts the last one', () => {
    expect(choose(at(0, 9)).shift).toMatchObject({ name: 'Day', date: '2026-06-01' });
    expect(choose(at(0, 18)).shift).toMatchObject({ name: 'Day', date: '2026-06-01' });
    expect(choose(at(0, 23)).shift).toMatchObject({ name: 'Night', date: '2026-06-01' });
  });

  it('belongs to the date it begins on, also after midnight', () => {
    expect(choose(at(1, 3))).toMatchObject({ date: '2026-06-01', shift: { name: 'Night', date: '2026-06-01', start: at(0, 22), end: at(1, 6) } });
  });

  it('is, of a date, the last that has begun, else the first to come', () => {
    expect(choose(at(3, 9), '2026-06-02').shift).toMatchObject({ name: 'Night', date: '2026-06-02' });
    expect(choose(at(1, 9), '2026-06-02').shift).toMatchObject({ name: 'Day', date: '2026-06-02' });
    expect(choose(at(0, 9), '2026-06-03').shift).toMatchObject({ name: 'Day', start: at(2, 6) });
  });

  it('is found by its name, or by when it begins where two have the same', () => {
    expect(choose(at(9, 9), '2026-06-02', 'Day').shift).toMatchObject({ start: at(1, 6), key: 'Day' });
    const saturday = choose(at(9, 9), '2026-06-06', '12:00');
    expect(saturday.shifts.map(({ key }) => key)).toEqual(['06:00', '12:00']);
    expect(saturday).toMatchObject({ unknownKey: false, shift: { start: at(5, 12) }, previous: { key: '06:00' }, next: { name: 'Day', date: '2026-06-08' } });
    expect(choose(at(9, 9), '2026-06-06', 'Day')).toMatchObject({ unknownKey: true, shift: null });
  });

  it('is none on a day without one, with the ways to those around it', () => {
    const sunday = choose(at(9, 9), '2026-06-07');
    expect(sunday).toMatchObject({ date: '2026-06-07', unknownKey: false, shift: null, shifts: [], previous: { key: '12:00', date: '2026-06-06' }, next: { name: 'Day', date: '2026-06-08' } });
  });

  it('is none in a plant that does not work at all', () => {
    const closed = workingTimeOf(setupOf(aPlant(aLine([aStation('S1')]), { S1: 10 }, { calendars: [{ code: 'always', shifts: [], exceptions: [] }] })), { line: 'MAIN', station: null }, []);
    expect(chooseShift(closed, 'UTC', at(0, 9), null, null)).toEqual({ shift: null, unknownKey: false, date: '2026-06-01', shifts: [], previous: null, next: null });
  });

  it('leads back to itself: the next of the one before is the one, whatever the instant', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 20 * 24 }), (hours) => {
      const now = at(7, 0) + hours * 3_600_000;
      const { shift: own, previous, next } = choose(now);
      expect(own!.start).toBeLessThanOrEqual(now);
      expect(next).toBe(null);
      expect(previous!.start).toBeLessThan(own!.start);
      const before = choose(now, previous!.date, previous!.key);
      expect(before.shift).toEqual(previous);
      expect(before.next).toEqual(own);
    }));
  });
});
