import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Line, Plant, SetupVersion, Station } from '../../../server/core/setup/plant.ts';
import { findLine, findStation, nextOnRoute, routeOf, setupAt } from '../../../server/core/setup/setup-at.ts';

const station = (code: string): Station => ({
  code, name: code, kind: 'build', hall: 'H1', floor: null, capacity: 1, placeLength: null, unitsMayPass: true, plannedHeads: 2, calendar: null,
});
const line: Line = { code: 'MAIN', name: 'Main', purpose: 'main', roll: 'asReady', calendar: 'day', pace: 30, stations: ['A', 'B', 'C', 'D'].map(station) };
const plant: Plant = {
  code: 'P', name: 'Plant', timeZone: 'UTC', halls: [], calendars: [], lines: [line], places: [{ ...station('YARD'), kind: 'yard' }],
  models: [{ code: 'M', name: 'M', length: 7, standards: { A: 10, B: 0, C: 20 } }],
  options: [{ code: 'X', name: 'X', minutes: { C: 5, D: 7 } }, { code: 'Y', name: 'Y', minutes: { C: 1 } }],
};
const version = (number: number, validFrom: number): SetupVersion => ({ version: number, validFrom, plant });

describe('setupAt', () => {
  it('takes the latest version that is valid, and the last loaded of two that begin together', () => {
    const setups = [version(1, 0), version(2, 100), version(3, 100), version(4, 50)];
    expect(setupAt(setups, 99)?.version).toBe(4);
    expect(setupAt(setups, 100)?.version).toBe(3);
    expect(setupAt(setups, 49)?.version).toBe(1);
  });

  it('lets the earliest version hold before the first, and has none where none was loaded', () => {
    expect(setupAt([version(2, 100), version(1, 50)], 3)?.version).toBe(1);
    expect(setupAt([], 3)).toBeNull();
  });

  it('does not depend on the order in which the versions are listed', () => {
    const versions = fc.uniqueArray(fc.tuple(fc.nat(20), fc.nat(50)), { selector: ([number]) => number, minLength: 1 });
    fc.assert(fc.property(versions, fc.nat(60), (pairs, t) => {
      const setups = pairs.map(([number, from]) => version(number, from));
      expect(setupAt([...setups].reverse(), t)).toEqual(setupAt(setups, t));
    }));
  });
});

describe('stations and lines by code', () => {
  it('finds a station of a line, a place outside every line, and nothing', () => {
    expect(findStation(plant, 'B')?.line?.code).toBe('MAIN');
    expect(findStation(plant, 'YARD')).toMatchObject({ line: null, station: { code: 'YARD' } });
    expect(findStation(plant, 'Z')).toBeNull();
    expect(findLine(plant, 'MAIN')).toBe(line);
    expect(findLine(plant, 'Z')).toBeNull();
  });
});

describe('routeOf', () => {
  it('holds the stations that the model or an option names, in the order of the line', () => {
    expect(routeOf(plant, line, 'M', [])).toEqual([{ station: 'A', standard: 10 }, { station: 'B', standard: 0 }, { station: 'C', standard: 20 }]);
    expect(routeOf(plant, line, 'M', ['Y', 'X']).slice(2)).toEqual([{ station: 'C', standard: 26 }, { station: 'D', standard: 7 }]);
  });

  it('takes a unit of unknown model past every station, at no standard', () => {
    expect(routeOf(plant, line, null, []).map((step) => step.standard)).toEqual([0, 0, 0, 0]);
  });

  it('tells the next station, the first one, and the end', () => {
    const route = routeOf(plant, line, 'M', []);
    expect(nextOnRoute(route, null)).toBe('A');
    expect(nextOnRoute(route, 'A')).toBe('B');
    expect(nextOnRoute(route, 'C')).toBeNull();
    expect(nextOnRoute(route, 'D')).toBeNull();
  });
});
