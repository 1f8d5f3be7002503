import { describe, expect, it } from 'vitest';
import { instantOfLocal, localOf } from '../../../server/core/calendar/zone.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import published from '../../published/time.json' with { type: 'json' };
import { calendarWc1, INDIANAPOLIS } from '../../support/calendar-wc1.ts';

// tests/published/time.json: clock changes derived from the IANA time zone database (tzdata 2025b) and the rule of 15 U.S.C. 260a;
// federal holidays of 5 U.S.C. 6103; the calendar WC-1 worked out minute by minute.
const ZONES: Record<string, string> = { Indianapolis: INDIANAPOLIS, New_York: 'America/New_York', Chicago: 'America/Chicago' };
const HOUR = 3_600_000;

describe('clock changes', () => {
  for (const [year, zones] of Object.entries(published.transitionsUTC)) {
    it.each(Object.entries(zones))(`of ${year} in %s`, (name, changes) => {
      for (const [at, before, after] of changes as [string, number, number][]) {
        const t = Date.parse(at);
        const offset = (instant: number) => (Date.parse(`${localOf(ZONES[name]!, instant).date}T${localOf(ZONES[name]!, instant).time}Z`) - instant) / HOUR;
        expect([offset(t - 60_000), offset(t)]).toEqual([before, after]);
      }
    });
  }

  it('moves an edge in the skipped hour to the first instant that exists, and takes the first of a repeated hour', () => {
    expect(instantOfLocal(INDIANAPOLIS, '2026-03-08', '02:30')).toBe(Date.parse('2026-03-08T07:00Z'));
    expect(instantOfLocal(INDIANAPOLIS, '2026-11-01', '01:30')).toBe(Date.parse('2026-11-01T05:30Z'));
  });

  it.each(published.elapsedMinutes)('$start to $end in $zone are $minutes minutes', ({ zone, start, end, minutes }) => {
    const at = (local: string) => instantOfLocal(zone, local.slice(0, 10), local.slice(11));
    expect((at(end) - at(start)) / 60_000).toBe(minutes);
  });
});

describe('calendar WC-1', () => {
  const time = workingTimeOf([{ version: 1, validFrom: 0, plant: calendarWc1 }], { line: 'L', station: null }, []);
  it.each(published.workCalendar.cases)('$start and $workMinutes minutes end at $endLocal', ({ start, workMinutes, endUTC }) => {
    const from = instantOfLocal(INDIANAPOLIS, start.slice(0, 10), start.slice(11));
    expect(new Date(time.addWorking(from, workMinutes)).toISOString()).toBe(new Date(endUTC).toISOString());
    expect(time.workingBetween(from, Date.parse(endUTC))).toBeCloseTo(workMinutes, 9);
  });
});
