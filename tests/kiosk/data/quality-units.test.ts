import { describe, expect, it } from 'vitest';
import { unitsToCheck } from '../../../kiosk/data/quality-units.ts';
import type { Snapshot, UnitRow } from '../../../server/contract/snapshot.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { leak, qualityPlant } from '../../support/given-quality.ts';

const plant = qualityPlant();
const row = (unit: string, ...facts: Fact[]): UnitRow => ({
  state: foldUnit(unit, [registered(unit), ...facts], setupOf(plant)).state,
  visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: null, late: null, manufactured: null, coveredAt: {}, flags: [],
});
const stands = (unit: string, station: string, m: number) => at(m, 'arrive', { unit, station });
const view = (...units: UnitRow[]): Snapshot => ({ version: 1, at: 0, plant, setupVersion: 1, units, stops: [], floorTime: [], stations: [], crew: [], exits: [], unreleasedShips: [] });
const told = (first: string, ...units: UnitRow[]) => unitsToCheck(view(...units), minute(60), first).map(({ row: { state }, station, left }) => [state.unit, station, left.map(({ check }) => check.code).join(' ')]);

describe('units with a check to make', () => {
  const all = [row('LAST', stands('LAST', 'C', 1)), row('SECOND', stands('SECOND', 'B', 5)), row('FIRST', stands('FIRST', 'B', 2)), row('NONE', stands('NONE', 'A', 1)), row('YARD', at(1, 'park', { unit: 'YARD', place: 'YARD', slot: '' })), row('PLANNED')];

  it('stand at its station, in the order of the line and of coming', () => {
    expect(told('', ...all)).toEqual([['FIRST', 'B', 'LEAK'], ['SECOND', 'B', 'LEAK'], ['LAST', 'C', 'LABEL FINAL']]);
  });

  it('of the device’s own station come first', () => expect(told('C', ...all).map(([unit]) => unit)).toEqual(['LAST', 'FIRST', 'SECOND']));

  it('are none any more once they passed', () => {
    expect(told('', row('CF1', stands('CF1', 'B', 1), leak(2, true, 15)))).toEqual([]);
    expect(told('', row('CF1', stands('CF1', 'B', 1), leak(2, false, 15)))).toEqual([['CF1', 'B', 'LEAK']]);
  });
});
