import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import type { SetupVersion } from '../../../server/core/setup/plant.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { aLine, aPlant, aStation, at, minute, registered } from '../../support/given.ts';

const CODES = ['A', 'B', 'C', 'D', 'E'];
const standards = { A: 10, B: 20, C: 30, D: 40, E: 50 };
const plant = aPlant(aLine(CODES.map((code) => aStation(code))), standards);
const since = (m: number): SetupVersion[] => [{ version: 1, validFrom: minute(m), plant }];
const arrive = (m: number, station: string, unit = 'U1') => at(m, 'arrive', { unit, station });
const missed = (setups: SetupVersion[], ...facts: Fact[]) =>
  deriveVisits(lineHistoryOf('MAIN', setups, [registered('U1'), ...facts]), minute(10_000)).filter((visit) => visit.notScanned).map((visit) => visit.station);

describe('stations that were not scanned', () => {
  const long = since(-100_000);
  it('are those of the route between two stays, and before the first', () => {
    expect(missed(long, arrive(0, 'A'), arrive(60, 'D'))).toEqual(['B', 'C']);
    expect(missed(long, arrive(0, 'C'))).toEqual(['A', 'B']);
    expect(missed(long, arrive(0, 'A'), arrive(60, 'B'))).toEqual([]);
  });

  it('carry no minutes, and no instant', () => {
    const [visit] = deriveVisits(lineHistoryOf('MAIN', long, [registered('U1'), arrive(0, 'B')]), minute(100)).filter((own) => own.notScanned);
    expect(visit).toMatchObject({ station: 'A', arrived: null, left: null, dwell: 0, minutes: { work: 0 }, provisional: false });
  });

  it('are none behind the last stay, none of a route the station is not on, and none before they are passed', () => {
    expect(missed(long, arrive(0, 'A'))).toEqual([]);
    expect(missed(long, arrive(0, 'NOWHERE'), arrive(9, 'B'))).toEqual(['A']);
    expect(missed(long, arrive(0, 'A'), arrive(20_000, 'D'))).toEqual([]);
  });

  it('are not told of what a unit passed before the plant was set up', () => {
    // A unit that is scanned at E came, at standard, to D 40 minutes before, to C 70, to B 90, to A 100.
    expect(missed(since(0), arrive(5, 'E'))).toEqual([]);
    expect(missed(since(0), arrive(39, 'E'))).toEqual([]);
    expect(missed(since(0), arrive(40, 'E'))).toEqual(['D']);
    expect(missed(since(0), arrive(89, 'E'))).toEqual(['C', 'D']);
    expect(missed(since(0), arrive(100, 'E'))).toEqual(['A', 'B', 'C', 'D']);
    expect(missed(since(0), arrive(-60, 'E'))).toEqual([]);
  });

  it('are told in full from the first stay on, however new the set-up', () => {
    expect(missed(since(0), arrive(5, 'B'), arrive(6, 'E'))).toEqual(['C', 'D']);
  });

  it('counts working time: a night between the set-up and the first scan hides nothing', () => {
    const day = { name: 'Day', start: '00:00', end: '01:00', breaks: [], weekdays: ['mon' as const, 'tue' as const] };
    const shifts = [{ version: 1, validFrom: minute(30), plant: { ...plant, calendars: [{ code: 'always', shifts: [day], exceptions: [] }] } }];
    // 30 minutes on Monday, 5 on Tuesday: less than the 40 of D.
    expect(missed(shifts, arrive(24 * 60 + 5, 'E'))).toEqual([]);
    expect(missed(shifts, arrive(24 * 60 + 10, 'E'))).toEqual(['D']);
  });

  it('are each station of the route once at most, with the scanned ones the whole way that was seen', () => {
    fc.assert(fc.property(fc.subarray(CODES, { minLength: 1 }), fc.integer({ min: -2_000, max: 0 }), (scanned, begin) => {
      const told = missed(since(begin), ...scanned.map((station, i) => arrive(i, station)));
      const [first, last] = [CODES.indexOf(scanned[0]!), CODES.indexOf(scanned.at(-1)!)];
      expect(new Set(told).size).toBe(told.length);
      expect([...told, ...scanned].filter((station) => CODES.indexOf(station) >= first).sort()).toEqual(CODES.slice(first, last + 1));
      // Before the first scan: the stations next to it without a gap.
      const before = told.filter((station) => CODES.indexOf(station) < first).sort();
      expect(before).toEqual(CODES.slice(first - before.length, first));
      const way = (n: number): number => CODES.slice(first - n, first).reduce((sum, code) => sum + standards[code as keyof typeof standards], 0);
      expect(way(before.length)).toBeLessThanOrEqual(-begin);
      if (before.length < first) expect(way(before.length + 1)).toBeGreaterThan(-begin);
    }));
  });
});
