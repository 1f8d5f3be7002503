import { DateTime } from 'luxon';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { visitRecords } from '../../../server/core/rates/visit-records.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { at, minute, registered } from '../../support/given.ts';
import { floorDays, setups } from '../../support/floor-days.ts';

const recordsOf = (...facts: Fact[]) => {
  const history = lineHistoryOf('MAIN', setups, facts);
  return visitRecords(history, deriveVisits(history, minute(20_000)), minute(0), minute(20_000));
};
const arriving = (m: number) => recordsOf(registered('U1'), at(m, 'arrive', { unit: 'U1', station: 'A' }))[0];

describe('visitRecords', () => {
  it('gives a visit the shift its arrival lies in, breaks included', () => {
    expect(arriving(6 * 60)).toMatchObject({ shift: 'Day', date: '2026-06-01', week: '2026-W23', model: 'M' });
    expect(arriving(9 * 60 + 5)).toMatchObject({ shift: 'Day' });
    expect(arriving(14 * 60)).toMatchObject({ shift: '', date: '2026-06-01' });
  });

  it('gives an arrival after midnight to the night, the day and the week in which the shift began', () => {
    expect(arriving(24 * 60 + 90)).toMatchObject({ shift: 'Night', date: '2026-06-01' });
    // Friday's night reaches into Saturday; Sunday of the week has no shift and belongs to the same week.
    expect(arriving(5 * 1_440 + 60)).toMatchObject({ shift: 'Night', date: '2026-06-05', week: '2026-W23' });
    expect(arriving(6 * 1_440 + 600)).toMatchObject({ shift: '', date: '2026-06-07', week: '2026-W23' });
  });

  it('tells a missed station when the unit is first seen behind it', () => {
    const [missed] = recordsOf(registered('U1'), at(21 * 60, 'arrive', { unit: 'U1', station: 'B' })).filter(({ standing }) => standing === 'notScanned');
    expect(missed).toMatchObject({ shift: 'Night', date: '2026-06-01', key: { unit: 'U1', station: 'A', arrived: null, arrivedBy: null } });
  });

  it('takes the visits that began in the period, each into exactly one of the periods that share it out', () => {
    fc.assert(fc.property(floorDays, fc.integer({ min: 1, max: 12_000 }), ({ history, visits, at: now }, cut) => {
      const whole = visitRecords(history, visits, 0, now + 1);
      const parts = [...visitRecords(history, visits, 0, minute(cut)), ...visitRecords(history, visits, minute(cut), Math.max(minute(cut), now + 1))];
      expect(parts.length).toBe(whole.length);
      expect(whole.length).toBe(visits.length);
      for (const { key, week, date } of whole) {
        expect(week).toBe(DateTime.fromISO(date, { zone: 'utc' }).toFormat("kkkk-'W'WW"));
        if (key.arrived !== null) expect(key.arrivedBy).not.toBeNull();
      }
    }), { numRuns: 120 });
  });
});
