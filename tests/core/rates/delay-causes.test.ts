import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { delayCauses } from '../../../server/core/rates/delay-causes.ts';
import { visitRecords } from '../../../server/core/rates/visit-records.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';
import { floorDays } from '../../support/floor-days.ts';

describe('delayCauses', () => {
  it('puts the worked example in Pareto order', () => {
    // Definitions §5, worked example: hold A of 20 minutes at station 1 on unit 2, stop B of 25 at station 2 on unit 1; here with 6 over standard.
    const setups = setupOf(aPlant(aLine([aStation('S1'), aStation('S2'), aStation('S3')]), { S1: 25, S2: 30, S3: 20 }));
    const hold = at(40, 'openHold', { unit: 'U2', reason: 'Missing part', keepsFrom: 'work', fromStation: null, note: '' });
    const stop = at(42, 'openStop', { station: 'S2', reason: 'Hoist down', note: '' });
    const facts = [
      registered('U1'), registered('U2', { sequence: 2 }), hold, stop,
      at(0, 'arrive', { unit: 'U1', station: 'S1' }), at(25, 'finish', { unit: 'U1', station: 'S1' }), at(25, 'arrive', { unit: 'U1', station: 'S2' }),
      at(67, 'clearStop', { station: 'S2', stop: stop.id, note: '' }), at(86, 'finish', { unit: 'U1', station: 'S2' }), at(86, 'arrive', { unit: 'U1', station: 'S3' }),
      at(30, 'arrive', { unit: 'U2', station: 'S1' }), at(60, 'clearHold', { unit: 'U2', hold: hold.id, note: '' }), at(75, 'finish', { unit: 'U2', station: 'S1' }),
      at(86, 'arrive', { unit: 'U2', station: 'S2' }),
    ];
    const history = lineHistoryOf('MAIN', setups, facts);
    const causes = delayCauses(history, visitRecords(history, deriveVisits(history, minute(86)), minute(0), minute(86)));
    expect(causes.map(({ kind, reason, amount }) => [kind, reason, amount])).toEqual([['stop', 'Hoist down', 25], ['hold', 'Missing part', 20], ['overStandard', '', 6]]);
    expect(causes[0]).toMatchObject({ facts: [stop.id], keys: [{ unit: 'U1', station: 'S2' }], vital: true });
    expect(causes[1]).toMatchObject({ facts: [hold.id], keys: [{ unit: 'U2', station: 'S1' }], vital: true });
    expect(causes[2]).toMatchObject({ cumulative: 1, vital: false });
  });

  it('adds up to the station delay of the counted visits, and leads to each of them', () => {
    fc.assert(fc.property(floorDays, ({ history, visits, at: now }) => {
      const records = visitRecords(history, visits, 0, now + 1);
      const causes = delayCauses(history, records);
      const delayed = records.filter(({ standing, visit }) => standing === 'counted' && visit.stationDelay > 0);
      expect(causes.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(delayed.reduce((sum, { visit }) => sum + visit.stationDelay, 0), 6);
      const named = new Set(causes.flatMap(({ keys }) => keys.map(({ arrivedBy }) => arrivedBy)));
      expect([...named].sort()).toEqual([...new Set(delayed.map(({ key }) => key.arrivedBy))].sort());
      for (const { keys } of causes) expect(new Set(keys).size).toBe(keys.length);
    }), { numRuns: 120 });
  });
});
