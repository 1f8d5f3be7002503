import { describe, expect, it } from 'vitest';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import type { FloorTime } from '../../../server/core/timeline/line-history.ts';
import { aLine, aPlant, aStation, setupOf } from '../../support/given.ts';

const day = { name: 'Day', start: '06:00', end: '14:00', breaks: [{ start: '09:00', end: '09:15' }], weekdays: ['mon' as const, 'tue' as const] };
const setups = setupOf(aPlant(aLine([aStation('A'), aStation('B')]), {}, { calendars: [{ code: 'always', shifts: [day], exceptions: [] }] }));
const monday = (time: string): number => Date.parse(`2026-06-01T${time}:00Z`);
const said = (kind: FloorTime['kind'], at: string, until: string | null = null, station: string | null = null): FloorTime =>
  ({ kind, line: station === null ? 'MAIN' : null, station, happened: monday(at), until: until === null ? null : monday(until) });
const worked = (words: FloorTime[], station: string | null = 'A') =>
  workingTimeOf(setups, { line: 'MAIN', station }, words).workingBetween(monday('00:00'), monday('23:59'));

describe('what the floor says of the day', () => {
  it('goes on past the shift\'s end until the time said, its breaks still breaks', () => {
    expect(worked([])).toBe(465);
    expect(worked([said('openUntil', '08:00', '16:00')])).toBe(585);
    expect(worked([said('openUntil', '18:00', '19:00')])).toBe(525);
  });

  it('ends the work until the next shift starts', () => {
    expect(worked([said('goneHome', '12:00')])).toBe(345);
    const time = workingTimeOf(setups, { line: 'MAIN', station: 'A' }, [said('goneHome', '12:00')]);
    expect(new Date(time.addWorking(monday('12:00'), 10)).toISOString()).toBe('2026-06-02T06:10:00.000Z');
  });

  it('lets the later word count', () => {
    expect(worked([said('openUntil', '08:00', '16:00'), said('goneHome', '15:00')])).toBe(525);
    expect(worked([said('goneHome', '12:00'), said('openUntil', '13:00', '15:00')])).toBe(465);
    expect(worked([said('openUntil', '13:00', '15:00'), said('goneHome', '12:00')])).toBe(465);
  });

  it('holds for every station when said of the line, for one when said of it', () => {
    expect(worked([said('goneHome', '12:00')], 'B')).toBe(345);
    expect(worked([said('goneHome', '12:00', null, 'A')], 'B')).toBe(465);
    expect(worked([said('goneHome', '12:00', null, 'A')], 'A')).toBe(345);
  });
});
