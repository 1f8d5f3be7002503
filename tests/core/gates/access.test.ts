import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { WorkState } from '../../../server/core/facts/quality-state.ts';
import { emptyUnit } from '../../../server/core/facts/evolve.ts';
import { coverers, nextCovering, openIn, openWork } from '../../../server/core/gates/access.ts';
import { minute } from '../../support/given.ts';
import { qualityPlant } from '../../support/given-quality.ts';

const work = (id: string, more: Partial<WorkState> = {}): WorkState =>
  ({ id, what: id, zone: null, severity: 'major', belongsTo: null, ofCheck: null, found: { at: minute(0), who: '' }, status: 'found', fixed: null, verified: null, reopened: 0, spots: [], note: '', photos: [], ...more });

describe('open work', () => {
  it('is what is not verified, the gravest first, then the oldest', () => {
    const all = [work('a', { severity: 'minor' }), work('b', { status: 'verified' }), work('c', { found: { at: minute(9), who: '' } }), work('d', { status: 'fixed' }), work('e', { severity: 'safety', found: { at: minute(99), who: '' } })];
    expect(openWork(all).map(({ id }) => id)).toEqual(['e', 'd', 'c', 'a']);
  });
});

describe('the next station that covers a zone', () => {
  const plant = qualityPlant();
  const standing = (station: string | null, lastStation = station) => ({
    ...emptyUnit('U'), known: true, model: 'M', lastStation,
    place: station === null ? null : { line: 'MAIN', station, slot: '', since: minute(0), finished: null, broughtBy: 'f' },
  });

  it('is told with the minutes at standard until it is finished there', () => {
    expect(nextCovering(plant, standing('A'), 'wall', 0)).toEqual({ station: 'B', stations: 1, minutes: 55 });
    expect(nextCovering(plant, standing('A'), 'wall', 20)).toEqual({ station: 'B', stations: 1, minutes: 35 });
    expect(nextCovering(plant, standing('B'), 'wall', 10)).toEqual({ station: 'B', stations: 0, minutes: 20 });
    expect(nextCovering(plant, standing('A'), 'roof', 100)).toEqual({ station: 'C', stations: 2, minutes: 50 });
  });

  it('is told from the first station for a unit that was not on the line yet, from the next for one off it', () => {
    expect(nextCovering(plant, standing(null), 'wall', 0)).toEqual({ station: 'B', stations: 2, minutes: 55 });
    expect(nextCovering(plant, standing(null, 'A'), 'wall', 0)).toEqual({ station: 'B', stations: 1, minutes: 30 });
  });

  it('is none behind the unit, nor for a zone that no station closes', () => {
    expect(nextCovering(plant, standing('C'), 'wall', 0)).toBeNull();
    expect(nextCovering(plant, standing('A'), 'floor', 0)).toBeNull();
    expect(nextCovering(plant, standing('A'), 'nowhere', 0)).toBeNull();
  });

  it('comes no later for a unit that worked longer', () => {
    fc.assert(fc.property(fc.constantFrom('A', 'B'), fc.nat(60), fc.nat(60), (station, worked, more) => {
      const before = nextCovering(plant, standing(station), 'wall', worked)!;
      expect(nextCovering(plant, standing(station), 'wall', worked + more)!.minutes).toBeLessThanOrEqual(before.minutes);
    }));
  });
});

describe('what is open in a zone', () => {
  const short = (what: string, zone: string | null) => ({ short: 's', item: 0, what, owner: '', fitAt: null, expected: null, zone, station: 'A', opened: minute(0) });
  const state = {
    ...emptyUnit('U'), work: [work('a', { zone: 'wall' }), work('b', { zone: 'wall', status: 'verified' }), work('c', { zone: 'roof', severity: 'safety' }), work('d')],
    shorts: [short('Fan', 'roof'), short('Mat', null), short('Duct', 'wall')],
  };

  it('is open work and what was left short there, not what stays within reach', () => {
    expect(openIn(state, 'wall')).toEqual([{ kind: 'work', what: 'a', zone: 'wall', severity: 'major' }, { kind: 'short', what: 'Duct', zone: 'wall', severity: 'major' }]);
    expect(openIn(state, null).map(({ what }) => what)).toEqual(['c', 'a', 'Fan', 'Duct']);
    expect(openIn(state, 'floor')).toEqual([]);
  });

  it('is in every zone together what it is in each', () => {
    fc.assert(fc.property(fc.array(fc.record({ zone: fc.constantFrom('wall', 'roof', null), done: fc.boolean() })), (all) => {
      const some = { ...emptyUnit('U'), work: all.map(({ zone, done }, i) => work(`w${i}`, { zone, status: done ? 'verified' : 'fixed' })) };
      expect(openIn(some, 'wall').length + openIn(some, 'roof').length).toBe(openIn(some, null).length);
      expect(openIn(some, null)).toHaveLength(all.filter(({ zone, done }) => zone !== null && !done).length);
    }));
  });
});

describe('the stations that cover a zone', () => {
  it('are those of every line, feeder cells too', () => {
    const plant = qualityPlant();
    const feeder = { ...plant.lines[0]!, code: 'FEED', purpose: 'feeder' as const, stations: [{ ...plant.lines[0]!.stations[0]!, code: 'F1', covers: ['wall'] }] };
    expect(coverers({ ...plant, lines: [...plant.lines, feeder] }, 'wall')).toEqual(['B', 'F1']);
    expect(coverers(plant, 'nowhere')).toEqual([]);
  });
});
