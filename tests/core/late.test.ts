import { describe, expect, it } from 'vitest';
import { workingTimeOf } from '../../server/core/calendar/working-time.ts';
import { lateness } from '../../server/core/late.ts';
import { aLine, aPlant, aStation, setupOf } from '../support/given.ts';

const day = { name: 'Day', start: '06:00', end: '14:00', breaks: [], weekdays: ['mon' as const, 'tue' as const, 'wed' as const, 'thu' as const, 'fri' as const] };
const plant = aPlant(aLine([aStation('A')]), { A: 10 }, { timeZone: 'America/Indiana/Indianapolis', calendars: [{ code: 'always', shifts: [day], exceptions: [] }] });
const time = workingTimeOf(setupOf(plant), { line: 'MAIN', station: null }, []);
const late = (promise: string, ready: string) => lateness(promise, plant.timeZone, Date.parse(ready), time);

describe('lateness', () => {
  it('is in time until the promised day is over in the plant', () => {
    expect(late('2026-06-05', '2026-06-05T23:59:00-04:00')).toMatchObject({ late: false, minutesLate: 0, calendarDaysLate: 0 });
    expect(late('2026-06-05', '2026-06-06T00:00:00-04:00').late).toBe(false);
  });

  it('counts working minutes, the days on the calendar beside them', () => {
    // Friday to Monday 07:30: 90 working minutes, three days.
    expect(late('2026-06-05', '2026-06-08T07:30:00-04:00')).toMatchObject({ late: true, minutesLate: 90, calendarDaysLate: 3 });
    expect(late('2026-06-05', '2026-06-09T07:30:00-04:00')).toMatchObject({ minutesLate: 570, calendarDaysLate: 4 });
  });

  it('of a unit that is never ready has no end', () => {
    expect(lateness('2026-06-05', plant.timeZone, Number.POSITIVE_INFINITY, time)).toMatchObject({ late: true, minutesLate: Number.POSITIVE_INFINITY });
  });
});
