import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { isoWeekOf, mondayOf } from '../../../server/core/calendar/iso-week.ts';

const published = JSON.parse(readFileSync(new URL('../../published/time.json', import.meta.url), 'utf8')) as
  { isoWeeks: { date: string; isoWeek: string }[]; isoYearsWith53Weeks2000to2060: number[] };

describe('isoWeekOf', () => {
  it('is the published week', () => {
    for (const { date, isoWeek } of published.isoWeeks) expect(isoWeekOf(date)).toBe(isoWeek.slice(0, 8));
  });

  it('has a week 53 in the published years only', () => {
    const years = Array.from({ length: 61 }, (_, i) => 2000 + i);
    expect(years.filter((year) => isoWeekOf(`${year}-12-31`) === `${year}-W53`)).toEqual(published.isoYearsWith53Weeks2000to2060);
  });

  it('is what luxon says, and begins on the Monday that luxon says', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 36_000 }), (days) => {
      const day = DateTime.fromMillis(days * 86_400_000, { zone: 'utc' });
      expect(isoWeekOf(day.toISODate()!)).toBe(day.toFormat("kkkk-'W'WW"));
      expect(mondayOf(day.toISODate()!)).toBe(day.startOf('week').toISODate());
    }));
  });
});
