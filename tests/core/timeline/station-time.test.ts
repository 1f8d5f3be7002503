import { describe, expect, it } from 'vitest';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { stationTime } from '../../../server/core/timeline/station-time.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';

const setups = setupOf(aPlant(aLine([aStation('A'), aStation('B', { capacity: 2 }), aStation('C')]), { A: 25, B: 30, C: 20 }));
const told = (...facts: Parameters<typeof lineHistoryOf>[2][number][]) =>
  Object.fromEntries(stationTime(lineHistoryOf('MAIN', setups, facts), minute(0), minute(100)).map(({ station, starved, idle }) => [station, [starved, idle]]));

describe('stationTime', () => {
  it('is idle, place by place, while nobody is on the line', () => {
    expect(told(registered('U1'))).toEqual({ A: [0, 100], B: [0, 200], C: [0, 100] });
  });

  it('is starved from the release of a unit until it comes, idle after', () => {
    const facts = [registered('U1'), at(10, 'arrive', { unit: 'U1', station: 'A' }), at(40, 'arrive', { unit: 'U1', station: 'B' }), at(70, 'arrive', { unit: 'U1', station: 'C' })];
    expect(told(...facts)).toEqual({ A: [0, 70], B: [60, 110], C: [60, 10] });
  });

  it('no longer waits for a unit that passed it unscanned, or is gone', () => {
    const passed = [registered('U1'), at(10, 'arrive', { unit: 'U1', station: 'A' }), at(40, 'arrive', { unit: 'U1', station: 'C' })];
    expect(told(...passed)['B']).toEqual([60, 140]);
    const gone = [registered('U1'), at(10, 'arrive', { unit: 'U1', station: 'A' }), at(20, 'cancel', { unit: 'U1', reason: 'Order withdrawn' })];
    expect(told(...gone)['C']).toEqual([10, 90]);
  });
});
