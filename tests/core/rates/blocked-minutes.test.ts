import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { blockedBetween } from '../../../server/core/rates/blocked-minutes.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';
import { floorDays } from '../../support/floor-days.ts';

describe('blockedBetween', () => {
  it('tells what of the waiting lay in a period: behind a full station, a hold taken out, roll lag not in it', () => {
    const setups = setupOf(aPlant(aLine([aStation('A'), aStation('B')]), { A: 20, B: 50 }));
    const hold = at(40, 'openHold', { unit: 'U2', reason: 'Rework', keepsFrom: 'leaving', fromStation: null, note: '' });
    const facts = [
      registered('U1'), registered('U2', { sequence: 2 }), at(0, 'arrive', { unit: 'U1', station: 'A' }), at(5, 'arrive', { unit: 'U1', station: 'B' }),
      at(10, 'arrive', { unit: 'U2', station: 'A' }), at(30, 'finish', { unit: 'U2', station: 'A' }), hold, at(46, 'clearHold', { unit: 'U2', hold: hold.id, note: '' }),
      at(60, 'finish', { unit: 'U1', station: 'B' }), at(60, 'leave', { unit: 'U1', station: 'B' }), at(67, 'arrive', { unit: 'U2', station: 'B' }),
    ];
    const history = lineHistoryOf('MAIN', setups, facts);
    const visit = deriveVisits(history, minute(70)).find(({ unit, station }) => unit === 'U2' && station === 'A')!;
    expect(visit.minutes).toMatchObject({ work: 20, held: 6, blocked: 24, rollLag: 7 });
    const time = workingTimeOf(setups, { line: 'MAIN', station: 'A' }, []);
    const unit = history.units.find((own) => own.unit === 'U2')!;
    const between = (from: number, to: number) => blockedBetween(history, unit, visit, time, visit.left!, minute(from), minute(to));
    expect([between(0, 100), between(0, 30), between(30, 40), between(40, 46), between(35, 50), between(55, 65), between(60, 70)]).toEqual([24, 0, 10, 0, 9, 5, 0]);
  });

  it('shares the blocked minutes of a visit out over any periods, none of them more than it worked', () => {
    fc.assert(fc.property(floorDays, fc.array(fc.integer({ min: 0, max: 13_000 }), { maxLength: 8 }), ({ history, visits, at: now }, cuts) => {
      const edges = [minute(-2_000), ...cuts.map(minute).sort((a, b) => a - b), minute(20_000)];
      for (const visit of visits) {
        if (visit.arrived === null) continue;
        const unit = history.units.find((own) => own.unit === visit.unit)!;
        const time = workingTimeOf(history.setups, { line: 'MAIN', station: visit.station }, history.floorTime);
        const parts = edges.slice(1).map((to, i) => blockedBetween(history, unit, visit, time, visit.left ?? now, edges[i]!, to));
        expect(parts.reduce((sum, part) => sum + part, 0)).toBeCloseTo(visit.minutes.blocked, 6);
        parts.forEach((part, i) => {
          expect(part).toBeGreaterThanOrEqual(0);
          expect(part).toBeLessThanOrEqual(time.workingBetween(edges[i]!, edges[i + 1]!) + 1e-6);
        });
      }
    }), { numRuns: 120 });
  });
});
