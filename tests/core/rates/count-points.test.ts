import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { countPassages, countPointsOf } from '../../../server/core/rates/count-points.ts';
import { foldUnits } from '../../../server/core/facts/line-history-of.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import type { CountEvent, CountPoint } from '../../../server/core/setup/plant.ts';
import { aLine, aPlant, aStation, at, minute, MONDAY, registered, setupOf } from '../../support/given.ts';
import { floorDays, setups as twoShifts } from '../../support/floor-days.ts';

const inspection = aLine([aStation('P'), aStation('Q')], { code: 'PDI', purpose: 'inspection' });
const plant = aPlant(aLine([aStation('A'), aStation('B'), aStation('C')]), {});
const setups = setupOf({ ...plant, lines: [...plant.lines, inspection], models: [{ code: 'M', name: 'M', length: 8, standards: { A: 25, B: 30, C: 20, P: 10, Q: 10 } }] });
const point = (event: CountEvent, station: string | null = null): CountPoint => ({ code: 'X', name: 'X', event, station });
const passed = (counted: CountPoint, facts: Fact[], m = 10_000) => countPassages(counted, setups, foldUnits(facts, setups), facts, minute(m));
/** Minute and whether assumed, of the only unit; null when it has not passed. */
const when = (counted: CountPoint, facts: Fact[]): [number, boolean] | null => {
  const [first] = passed(counted, facts);
  return first ? [(first.at - MONDAY) / 60_000, first.assumed] : null;
};
const through = (...stops: [string, number][]): Fact[] => [registered('U1'), ...stops.map(([station, m]) => at(m, 'arrive', { unit: 'U1', station }))];

describe('countPointsOf', () => {
  it('is the plant\'s own, else one for each event', () => {
    expect(countPointsOf(plant).map(({ event, station }) => [event, station])).toEqual([['offLine', null], ['finished', null], ['released', null], ['shipped', null]]);
    expect(countPointsOf({ ...plant, countPoints: [point('shipped')] })).toEqual([point('shipped')]);
  });
});

describe('countPassages', () => {
  it('counts off the line when the unit leaves the last station of its route', () => {
    expect(when(point('offLine'), through(['A', 0], ['B', 30], ['C', 60]))).toBeNull();
    expect(when(point('offLine'), [...through(['A', 0], ['B', 30], ['C', 60]), at(80, 'leave', { unit: 'U1', station: 'C' })])).toEqual([80, false]);
    expect(when(point('offLine'), through(['A', 0], ['B', 30], ['C', 60], ['P', 90]))).toEqual([90, false]);
  });

  it('counts at the station the plant has set', () => {
    expect(when(point('offLine', 'B'), through(['A', 0], ['B', 30], ['C', 60]))).toEqual([60, false]);
    expect(when(point('finished', 'A'), [...through(['A', 0]), at(20, 'finish', { unit: 'U1', station: 'A' })])).toEqual([20, false]);
  });

  it('counts one that nobody scanned there when it is first seen beyond, and says so', () => {
    expect(when(point('offLine'), through(['A', 0], ['B', 30], ['P', 90]))).toEqual([90, true]);
    expect(when(point('offLine', 'B'), through(['A', 0], ['C', 60]))).toEqual([60, true]);
    expect(when(point('offLine'), [...through(['A', 0], ['B', 30]), at(70, 'park', { unit: 'U1', place: 'YARD', slot: '' })])).toEqual([70, true]);
    expect(when(point('finished'), [...through(['A', 0], ['P', 90]), at(200, 'release', { unit: 'U1' })])).toEqual([200, true]);
    expect(when(point('released'), [...through(['A', 0]), at(300, 'ship', { unit: 'U1', carrier: '' })])).toEqual([300, true]);
  });

  it('does not count a unit pulled off, parked while it is off, or cancelled on the line', () => {
    const off = [...through(['A', 0], ['B', 30], ['C', 60]), at(70, 'pullOff', { unit: 'U1', reason: 'Rework', to: null })];
    expect(when(point('offLine'), off)).toBeNull();
    expect(when(point('offLine'), [...off, at(75, 'park', { unit: 'U1', place: 'YARD', slot: '' })])).toBeNull();
    expect(when(point('offLine'), [...through(['A', 0]), at(10, 'cancel', { unit: 'U1', reason: 'Order withdrawn' })])).toBeNull();
  });

  it('finishes at the last station of the last line, a finish nobody scanned at the leave', () => {
    const facts = through(['C', 60], ['P', 90], ['Q', 100]);
    expect(when(point('finished'), [...facts, at(110, 'finish', { unit: 'U1', station: 'Q' }), at(130, 'park', { unit: 'U1', place: 'YARD', slot: '' })])).toEqual([110, false]);
    expect(when(point('finished'), [...facts, at(130, 'park', { unit: 'U1', place: 'YARD', slot: '' })])).toEqual([130, true]);
  });

  it('counts a unit that came back once, at its first shipment, and not one whose shipment was voided', () => {
    const ship = at(300, 'ship', { unit: 'U1', carrier: '' });
    const facts = [...through(['A', 0]), at(200, 'release', { unit: 'U1' }), ship, at(400, 'comeBack', { unit: 'U1', reason: 'Damaged on the road' }), at(900, 'ship', { unit: 'U1', carrier: '' })];
    expect(passed(point('shipped'), facts)).toMatchObject([{ at: minute(300), by: ship.id, model: 'M', point: 'X', date: '2026-06-01' }]);
    expect(when(point('shipped'), [...facts, at(301, 'void', { fact: ship.id, reason: 'Wrong unit' })])).toEqual([900, false]);
  });

  it('counts the shipment of what was identified as the unit for the unit', () => {
    const facts = [...through(['A', 0]), at(300, 'ship', { unit: 'SMUDGED', carrier: '' }), at(310, 'identify', { unit: 'U1', scanned: 'SMUDGED', reason: 'Read by hand' })];
    expect(passed(point('shipped'), facts).map(({ unit }) => unit)).toEqual(['U1']);
  });

  it('knows nothing of what came later', () => {
    expect(passed(point('offLine'), through(['C', 60], ['P', 90]), 89)).toEqual([]);
  });

  it('counts each unit at most once, never loses one as time goes on, and one off the line no later than finished', () => {
    fc.assert(fc.property(floorDays, fc.nat(12_000), ({ facts }, m) => {
      const units = foldUnits(facts, twoShifts);
      const by = (event: CountEvent, t: number) => countPassages(point(event), twoShifts, units, facts, minute(t));
      const whole = by('offLine', 20_000);
      expect(new Set(whole.map(({ unit }) => unit)).size).toBe(whole.length);
      expect(by('offLine', m)).toEqual(whole.filter((passage) => passage.at <= minute(m)));
      // One line: it is finished at its last station before it leaves it.
      const finished = new Map(by('finished', 20_000).map((passage) => [passage.unit, passage.at]));
      for (const { unit, at: left } of whole) expect(finished.get(unit)).toBeLessThanOrEqual(left);
    }), { numRuns: 100 });
  });
});
