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

  it('goes on from the end of the work when it is said soon after it: the crew had stayed', () => {
    expect(worked([said('openUntil', '14:05', '16:00')])).toBe(585);
    expect(worked([said('openUntil', '16:00', '16:30')])).toBe(615);
    expect(worked([said('openUntil', '16:01', '16:30')])).toBe(494);
    expect(worked([said('openUntil', '13:00', '15:00'), said('openUntil', '15:20', '16:00')])).toBe(585);
  });

  it('goes on from the saying when the crew had gone home', () => {
    expect(worked([said('goneHome', '14:00'), said('openUntil', '14:30', '15:00')])).toBe(495);
    expect(worked([said('goneHome', '13:30'), said('openUntil', '14:30', '15:00')])).toBe(465);
  });

  it('begins early when it is said before a shift, and that shift keeps its breaks', () => {
    expect(worked([said('openUntil', '05:55', '14:00')])).toBe(470);
    expect(worked([said('openUntil', '05:55', '16:00')])).toBe(590);
    expect(worked([said('openUntil', '05:55', '07:00')])).toBe(470);
    expect(worked([said('goneHome', '08:00'), said('openUntil', '08:30', '15:00')])).toBe(495);
  });

  it('keeps the breaks of every shift that it reaches over', () => {
    const night = { ...day, name: 'Late', start: '14:00', end: '22:00', breaks: [{ start: '18:00', end: '18:30' }] };
    const both = setupOf(aPlant(aLine([aStation('A')]), {}, { calendars: [{ code: 'always', shifts: [day, night], exceptions: [] }] }));
    const time = (words: FloorTime[]) => workingTimeOf(both, { line: 'MAIN', station: 'A' }, words).workingBetween(monday('00:00'), monday('23:59'));
    expect(time([])).toBe(915);
    expect(time([said('openUntil', '08:00', '23:00')])).toBe(975);
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

  it('holds for a station asked for without its line', () => {
    const of = (station: string | null, words: FloorTime[]) => workingTimeOf(setups, { line: null, station }, words).workingBetween(monday('00:00'), monday('23:59'));
    expect(of('A', [said('goneHome', '12:00')])).toBe(345);
    expect(of('A', [said('goneHome', '12:00', null, 'A')])).toBe(345);
    expect(of('B', [said('goneHome', '12:00', null, 'A')])).toBe(465);
  });

  it('holds for a place outside every line that follows the line\'s calendar, and for the plant as a whole', () => {
    const of = (station: string | null, words: FloorTime[]) => workingTimeOf(setups, { line: null, station }, words).workingBetween(monday('00:00'), monday('23:59'));
    expect(of('YARD', [said('openUntil', '13:00', '15:00')])).toBe(525);
    expect(of('YARD', [said('goneHome', '12:00', null, 'YARD')])).toBe(345);
    expect(of(null, [said('goneHome', '12:00')])).toBe(345);
    expect(of(null, [said('goneHome', '12:00', null, 'A')])).toBe(465);
  });

  it('leaves alone a place outside every line with a calendar of its own, and another line', () => {
    const second = aLine([aStation('X')], { code: 'SECOND', calendar: 'always' });
    const first = aLine([aStation('A')]);
    const plant = aPlant(first, {}, {
      lines: [first, second], places: [aStation('YARD', { kind: 'yard', calendar: 'yard' })],
      calendars: [{ code: 'always', shifts: [day], exceptions: [] }, { code: 'yard', shifts: [{ ...day, breaks: [] }], exceptions: [] }],
    });
    const of = (line: string | null, station: string | null) =>
      workingTimeOf(setupOf(plant), { line, station }, [said('goneHome', '12:00')]).workingBetween(monday('00:00'), monday('23:59'));
    expect([of(null, 'YARD'), of('SECOND', 'X'), of(null, 'X'), of('MAIN', 'A'), of(null, 'A')]).toEqual([480, 465, 465, 345, 345]);
  });
});

describe('addWorking', () => {
  const once = (date: string) => setupOf(aPlant(aLine([aStation('A')]), {}, {
    calendars: [{ code: 'always', shifts: [], exceptions: [{ date, kind: 'overtime', shifts: [{ name: 'Once', start: '06:00', end: '07:00', breaks: [] }], note: '' }] }],
  }));
  it('looks eight years ahead and no farther, whatever was asked before', () => {
    const asked = (date: string, before: boolean): number => {
      const time = workingTimeOf(once(date), { line: 'MAIN', station: 'A' }, []);
      if (before) time.workingBetween(monday('00:00'), Date.parse('2040-01-01T00:00:00Z'));
      return time.addWorking(monday('00:00'), 30);
    };
    for (const before of [false, true]) {
      expect(new Date(asked('2034-05-31', before)).toISOString()).toBe('2034-05-31T06:30:00.000Z');
      expect(asked('2034-06-01', before)).toBe(Number.POSITIVE_INFINITY);
    }
  });
});
