import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DWELL_BY, readDwellQuery, readVisitsQuery, TREND_MEASURES, writeDwellQuery, writeVisitsQuery } from '../../server/contract/dwell-query.ts';
import { MARK_KINDS, readMarksQuery, writeMarksQuery } from '../../server/contract/marks-query.ts';
import { daysOf, type PeriodQuery, readPeriod } from '../../server/contract/period-query.ts';
import { DWELL_SORTS } from '../../server/core/rates/dwell-report.ts';
import { BEHIND } from '../../server/core/rates/visits-behind.ts';

const period: fc.Arbitrary<PeriodQuery> = fc.oneof(
  fc.constantFrom('week' as const, 'weeks4' as const, 'weeks12' as const).map((name) => ({ period: name, from: '', to: '' })),
  fc.constant({ period: 'days' as const, from: '2026-06-01', to: '2026-06-21' }),
);
const filter = { station: fc.string(), model: fc.string(), shift: fc.string() };
const read = (text: string): Record<string, string> => Object.fromEntries(new URLSearchParams(text));

describe('what a report is asked, in an address', () => {
  it('reads back as it was written', () => {
    const dwell = fc.record({ by: fc.constantFrom(...DWELL_BY), sort: fc.constantFrom(...DWELL_SORTS), measure: fc.constantFrom(...TREND_MEASURES), ...filter });
    fc.assert(fc.property(period, dwell, (days, rest) => {
      expect(readDwellQuery(read(writeDwellQuery({ ...days, ...rest })))).toEqual({ query: { ...days, ...rest }, wrong: [] });
    }));
    const visits = fc.record({ of: fc.constantFrom(...BEHIND.filter((of) => of !== 'cause')), week: fc.string(), kind: fc.constantFrom('', 'hold', 'stop'), reason: fc.string(), ...filter });
    fc.assert(fc.property(period, visits, (days, rest) => {
      const query = { ...days, ...rest, kind: rest.kind as '' | 'hold' | 'stop' };
      expect(readVisitsQuery(read(writeVisitsQuery(query)))).toEqual({ query, wrong: [] });
    }));
    fc.assert(fc.property(period, fc.constantFrom('' as const, ...MARK_KINDS), (days, kind) => {
      const query = { ...days, station: 'S1', shift: '-', kind };
      expect(readMarksQuery(read(writeMarksQuery(query)))).toEqual({ query, wrong: [] });
    }));
  });

  it('names what it does not know, and goes on with what is as by default', () => {
    fc.assert(fc.property(fc.dictionary(fc.constantFrom('period', 'from', 'to', 'by', 'sort', 'measure', 'of', 'kind'), fc.string()), (said) => {
      const { query } = readDwellQuery(said);
      expect(DWELL_BY).toContain(query.by);
      expect(DWELL_SORTS).toContain(query.sort);
      expect(readDwellQuery(read(writeDwellQuery(query))).query).toEqual(query);
    }));
    expect(readDwellQuery({ by: 'colour', sort: 'nice' }).wrong).toEqual(['by', 'sort']);
  });

  it('is of whole weeks from their Monday', () => {
    // 2026-11-26 is a Thursday.
    const days = (name: 'week' | 'weeks4' | 'weeks12') => daysOf({ period: name, from: '', to: '' }, '2026-11-26');
    expect([days('week'), days('weeks4'), days('weeks12')]).toEqual([
      { first: '2026-11-23', last: '2026-11-26' }, { first: '2026-11-02', last: '2026-11-26' }, { first: '2026-09-07', last: '2026-11-26' },
    ]);
    const wrong: string[] = [];
    expect(readPeriod({ from: '2026-06-01', to: '2026-12-04' }, wrong)).toMatchObject({ period: 'days' });
    expect(wrong).toEqual(['to']);
  });
});
