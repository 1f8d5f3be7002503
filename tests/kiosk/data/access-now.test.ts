import { describe, expect, it } from 'vitest';
import { countdowns } from '../../../kiosk/data/access-now.ts';
import type { Snapshot, UnitRow } from '../../../server/contract/snapshot.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { at, registered, setupOf } from '../../support/given.ts';
import { qualityPlant } from '../../support/given-quality.ts';

const plant = qualityPlant();
const row = (unit: string, station: string, zone: string, covered: string[] = []): UnitRow => {
  const facts = [registered(unit), at(0, 'arrive', { unit, station }), at(1, 'findWork', { unit, what: `${unit} ${zone}`, zone, severity: 'major', belongsTo: null })];
  const { state } = foldUnit(unit, covered.length > 0 ? [...facts, at(2, 'coverZones', { unit, station, zones: covered })] : facts, setupOf(plant));
  return { state, visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: null, late: null, manufactured: null, coveredAt: { wall: 99 }, flags: [] };
};
const view = (units: UnitRow[]): Snapshot => ({ version: 1, at: 0, plant, setupVersion: 1, units, stops: [], floorTime: [], stations: [], crew: [], exits: [], unreleasedShips: [] });

describe('the countdown until zones are covered', () => {
  it('has what is covered already first, then what will be in the fewest stations, last what no station ahead covers', () => {
    const told = countdowns(view([row('FAR', 'A', 'roof'), row('NEVER', 'C', 'wall'), row('NEAR', 'A', 'wall'), row('NOW', 'B', 'wall'), row('GONE', 'B', 'wall', ['wall'])]));
    expect(told.map(({ row: { state }, covered, next }) => [state.unit, covered, next?.stations ?? null])).toEqual([
      ['GONE', true, 0], ['NOW', false, 0], ['NEAR', false, 1], ['FAR', false, 2], ['NEVER', false, null],
    ]);
    expect(told[1]).toMatchObject({ at: 99, next: { station: 'B', minutes: 30 } });
    expect(told[3]!.at).toBeNull();
  });

  it('is of the units asked for', () => {
    const [one, other] = [row('ONE', 'A', 'wall'), row('OTHER', 'A', 'wall')];
    expect(countdowns(view([one, other]), [other]).map(({ row: { state } }) => state.unit)).toEqual(['OTHER']);
  });
});
