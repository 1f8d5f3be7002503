import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldPlaces } from '../../../server/core/facts/fold-places.ts';
import { foldUnits, lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { effectiveFacts } from '../../../server/core/facts/voids.ts';
import { fullArrivals, scansOutsideWorkingTime } from '../../../server/core/timeline/line-flags.ts';
import { occupancyOf } from '../../../server/core/timeline/occupancy.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';

const arrive = (m: number, unit: string, station: string) => at(m, 'arrive', { unit, station });
const finish = (m: number, unit: string, station: string) => at(m, 'finish', { unit, station });

describe('an arrival at a full station', () => {
  const line = aLine([aStation('A'), aStation('B', { capacity: 2 }), aStation('L', { capacity: null, placeLength: 20 })]);
  const setups = setupOf(aPlant(line, { A: 25, B: 30, L: 20 }));
  const told = (facts: Fact[], until = 1_000) =>
    fullArrivals(occupancyOf(lineHistoryOf('MAIN', setups, facts), minute(until))).map(({ fact, code, unit, station, detail }) => ({ fact, code, unit, station, detail }));

  it('is flagged, with the finished unit whose stay it ended', () => {
    const second = arrive(30, 'U2', 'A');
    expect(told([arrive(0, 'U1', 'A'), finish(20, 'U1', 'A'), second])).toEqual([{ fact: second.id, code: 'stationFull', unit: 'U2', station: 'A', detail: 'U1' }]);
  });

  it('is flagged where no unit there is finished, and ends no stay', () => {
    const second = arrive(30, 'U2', 'A');
    expect(told([arrive(0, 'U1', 'A'), second])).toMatchObject([{ fact: second.id, detail: '' }]);
    const stays = occupancyOf(lineHistoryOf('MAIN', setups, [arrive(0, 'U1', 'A'), second]), minute(60)).byStation.get('A')!.stays;
    expect(stays.map(({ unit, left }) => [unit, left])).toEqual([['U1', null], ['U2', null]]);
  });

  it('counts places, or metres of floor', () => {
    expect(told([arrive(0, 'U1', 'B'), arrive(1, 'U2', 'B')])).toEqual([]);
    expect(told([arrive(0, 'U1', 'B'), arrive(1, 'U2', 'B'), arrive(2, 'U3', 'B')])).toMatchObject([{ unit: 'U3' }]);
    const three = ['U1', 'U2', 'U3'].flatMap((unit, i) => [registered(unit), arrive(i, unit, 'L')]);
    expect(told(three.slice(0, 4))).toEqual([]);
    expect(told(three)).toMatchObject([{ unit: 'U3', station: 'L' }]);
  });

  it('is not one when the unit before left in the same instant, was pulled off, or its stay is not known yet', () => {
    expect(told([arrive(0, 'U1', 'A'), arrive(30, 'U1', 'B'), arrive(30, 'U2', 'A')])).toEqual([]);
    expect(told([arrive(0, 'U1', 'A'), at(10, 'pullOff', { unit: 'U1', reason: 'Leak', to: null }), arrive(30, 'U2', 'A')])).toEqual([]);
    expect(told([arrive(0, 'U1', 'A'), arrive(30, 'U2', 'A')], 29)).toEqual([]);
  });

  it('is told by counting who stands there, whoever came in whatever order', () => {
    const scan = fc.record({ m: fc.nat(200), unit: fc.constantFrom('U1', 'U2', 'U3', 'U4'), station: fc.constantFrom('A', 'B'), kind: fc.constantFrom('arrive' as const, 'arrive' as const, 'leave' as const) });
    fc.assert(fc.property(fc.uniqueArray(scan, { maxLength: 20, selector: ({ m }) => m }), (scans) => {
      const facts = scans.map(({ m, unit, station, kind }) => at(m, kind, { unit, station }));
      // Nothing is finished, so no stay is ended by another: a station is full when as many stand there as it has places.
      const where = new Map<string, string>();
      const expected: string[] = [];
      for (const fact of [...facts].sort((a, b) => a.happened - b.happened)) {
        const [here, places] = [[...where.values()].filter((station) => station === fact.station).length, fact.station === 'A' ? 1 : 2];
        if (fact.kind === 'leave') {
          if (where.get(fact.unit) === fact.station) where.delete(fact.unit);
        } else if (where.get(fact.unit) !== fact.station) {
          if (here >= places) expected.push(fact.id);
          where.set(fact.unit, fact.station);
        }
      }
      expect(told(facts).map(({ fact }) => fact).sort()).toEqual(expected.sort());
    }));
  });
});

describe('a scan outside working time', () => {
  const day = { name: 'Day', start: '06:00', end: '14:00', breaks: [{ start: '09:00', end: '09:15' }], weekdays: ['mon' as const, 'tue' as const] };
  const setups = setupOf(aPlant(aLine([aStation('A'), aStation('B')]), { A: 25, B: 30 }, { calendars: [{ code: 'always', shifts: [day], exceptions: [] }] }));
  const clock = (hours: number, minutes = 0): number => hours * 60 + minutes;
  const told = (...facts: Fact[]) => {
    const { floorTime } = foldPlaces(facts, setups);
    return scansOutsideWorkingTime('U1', effectiveFacts(facts), setups, (line, station) => workingTimeOf(setups, { line, station }, floorTime)).map(({ fact, code }) => [fact, code]);
  };
  const early = arrive(clock(5, 50), 'U1', 'A');
  const late = finish(clock(14, 20), 'U1', 'A');

  it('is flagged before the shift and after it, not in it', () => {
    expect(told(early, finish(clock(8), 'U1', 'A'), late)).toEqual([[early.id, 'outsideWorkingTime'], [late.id, 'outsideWorkingTime']]);
    expect(told(arrive(clock(6), 'U1', 'A'), finish(clock(13, 59), 'U1', 'A'))).toEqual([]);
    expect(told(arrive(clock(14), 'U1', 'A'))).toHaveLength(1);
  });

  it('is no surprise in a break, but is after the crew had gone home', () => {
    const inBreak = finish(clock(9, 5), 'U1', 'A');
    expect(told(inBreak)).toEqual([]);
    expect(told(at(clock(8, 50), 'goneHome', { line: 'MAIN', station: null }), inBreak)).toHaveLength(1);
  });

  it('is settled when the floor says that the line was open, and comes back when that is voided', () => {
    const open = at(clock(14, 25), 'openUntil', { line: 'MAIN', station: null, until: minute(clock(16)) });
    expect(told(late, open)).toEqual([]);
    expect(told(late, open, at(clock(15), 'void', { fact: open.id, reason: 'wrong line' }))).toHaveLength(1);
    expect(told(late, at(clock(14, 25), 'openUntil', { line: null, station: 'B', until: minute(clock(16)) }))).toHaveLength(1);
  });

  it('is one at a station of a line only: not in the yard, not of the office, not on a walk', () => {
    expect(told(arrive(clock(3), 'U1', 'YARD'), arrive(clock(3), 'U1', 'NOWHERE'), at(clock(3), 'release', { unit: 'U1' }), at(clock(3), 'heads', { station: 'A', heads: 2 }))).toEqual([]);
    expect(told(at(clock(3), 'seen', { unit: 'U1', station: 'A', slot: '' }), at(clock(3), 'missing', { unit: 'U1', station: 'A' }))).toEqual([]);
  });

  it('leaves the flags of the unit itself alone: they are a function of its own facts and the set-up', () => {
    expect(foldUnits([registered('U1'), early], setups).get('U1')!.flags).toEqual([]);
  });
});
