import fc from 'fast-check';
import { DateTime, Interval } from 'luxon';
import { describe, expect, it } from 'vitest';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import type { Calendar, DayShift } from '../../../server/core/setup/plant.ts';
import { aLine, aPlant, aStation, setupOf } from '../../support/given.ts';

// Second opinion: luxon 3, a general-purpose date library, lays the same shifts. Zones: north, south, half hour, one without clock changes.
const ZONES = ['America/Indiana/Indianapolis', 'Australia/Sydney', 'Australia/Adelaide', 'America/Phoenix'];
const WEEKDAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
// Two weeks around each clock change of 2026 in those zones, edges outside the changed hour, on which libraries differ by choice.
const STARTS = ['2026-03-02', '2026-03-30', '2026-09-28', '2026-10-26'];
const DAYS = 12;

const clock = (minute: number): string => `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
const anyShift: fc.Arbitrary<DayShift> = fc.record({ start: fc.integer({ min: 240, max: 1_300 }), long: fc.integer({ min: 120, max: 139 }), pause: fc.integer({ min: 10, max: 100 }) })
  .map(({ start, long, pause }) => ({ name: 'S', start: clock(start), end: clock(start + long), breaks: [{ start: clock(start + pause), end: clock(start + pause + 9) }] }));
const nightShift: DayShift = { name: 'Night', start: '22:00', end: '06:00', breaks: [{ start: '23:40', end: '23:55' }, { start: '04:10', end: '04:25' }] };
const anyCalendar = fc.record({ shift: fc.oneof(anyShift, fc.constant(nightShift)), weekdays: fc.subarray([...WEEKDAYS], { minLength: 1 }), closed: fc.nat(DAYS) });

function luxonStretches(zone: string, start: string, { shift, weekdays, closed }: { shift: DayShift; weekdays: string[]; closed: number }): Interval[] {
  const stretches: Interval[] = [];
  for (let day = -1; day <= DAYS; day++) {
    const date = DateTime.fromISO(start, { zone }).plus({ days: day });
    if (day === closed || !weekdays.includes(WEEKDAYS[date.weekday - 1]!)) continue;
    const edge = (time: string): DateTime => {
      const [hour = 0, minute = 0] = time.split(':').map(Number);
      return (time < shift.start ? date.plus({ days: 1 }) : date).set({ hour, minute });
    };
    const whole = Interval.fromDateTimes(edge(shift.start), edge(shift.end));
    stretches.push(...whole.difference(...shift.breaks.map((pause) => Interval.fromDateTimes(edge(pause.start), edge(pause.end)))));
  }
  return stretches;
}

describe('working time beside luxon', () => {
  it.each(ZONES)('counts and adds the same minutes in %s', (zone) => {
    fc.assert(fc.property(anyCalendar, fc.constantFrom(...STARTS), fc.nat(11 * 1_440), fc.nat(4_000), fc.nat(600), (drawn, start, from, length, add) => {
      const closedOn = DateTime.fromISO(start, { zone }).plus({ days: drawn.closed }).toISODate()!;
      const calendar: Calendar = { code: 'always', shifts: [{ ...drawn.shift, weekdays: drawn.weekdays }], exceptions: [{ date: closedOn, kind: 'closed', shifts: [], note: '' }] };
      const time = workingTimeOf(setupOf(aPlant(aLine([aStation('A')]), {}, { timeZone: zone, calendars: [calendar] })), { line: 'MAIN', station: null }, []);
      const a = DateTime.fromISO(start, { zone }).toMillis() + from * 60_000;
      const b = Math.min(a + length * 60_000, DateTime.fromISO(start, { zone }).plus({ days: DAYS }).toMillis());
      const span = Interval.fromDateTimes(DateTime.fromMillis(a), DateTime.fromMillis(Math.max(a, b)));
      const theirs = luxonStretches(zone, start, drawn).reduce((sum, stretch) => sum + (stretch.intersection(span)?.toDuration().as('minutes') ?? 0), 0);
      expect(time.workingBetween(a, Math.max(a, b))).toBeCloseTo(theirs, 6);
      const end = time.addWorking(a, add);
      expect(time.workingBetween(a, end)).toBeCloseTo(add, 3);
      if (add > 0) expect(time.workingBetween(a, end - 1)).toBeLessThan(add);
    }), { numRuns: 300 });
  }, 60_000);

  it('shortens and lengthens a night shift by the hour that the clock changes', () => {
    const night: Calendar = { code: 'always', shifts: [{ ...nightShift, breaks: [], weekdays: [...WEEKDAYS] }], exceptions: [] };
    const time = workingTimeOf(setupOf(aPlant(aLine([aStation('A')]), {}, { timeZone: 'America/Indiana/Indianapolis', calendars: [night] })), { line: 'MAIN', station: null }, []);
    const minutes = (from: string, to: string) => time.workingBetween(Date.parse(from), Date.parse(to));
    expect(minutes('2026-03-07T17:00:00Z', '2026-03-08T17:00:00Z')).toBe(420);
    expect(minutes('2026-10-31T17:00:00Z', '2026-11-01T17:00:00Z')).toBe(540);
  });

  it('has no end where the calendar has no working time', () => {
    const time = workingTimeOf(setupOf(aPlant(aLine([aStation('A')]), {}, { calendars: [{ code: 'always', shifts: [], exceptions: [] }] })), { line: 'MAIN', station: null }, []);
    expect(time.addWorking(0, 1)).toBe(Number.POSITIVE_INFINITY);
    expect(time.addWorking(5, 0)).toBe(5);
  });
});
