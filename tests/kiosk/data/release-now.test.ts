import { describe, expect, it } from 'vitest';
import { mendedAt, readyByDealer, unreleased } from '../../../kiosk/data/release-now.ts';
import type { Snapshot, UnitRow } from '../../../server/contract/snapshot.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import type { MissingKind } from '../../../server/core/gates/release.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { qualityPlant } from '../../support/given-quality.ts';

const plant = qualityPlant({ checks: [], partKinds: [] });
const row = (unit: string, dealer: string, promise: string | null, ...facts: Fact[]): UnitRow => ({
  state: foldUnit(unit, [registered(unit, { dealer, promise }), ...facts], setupOf(plant)).state,
  visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: null, late: null, manufactured: null, coveredAt: {}, flags: [],
});
const parked = (unit: string) => at(0, 'park', { unit, place: 'YARD', slot: '1' });
const papers = (unit: string) => at(1, 'settleItem', { unit, item: 'PAPERS', settled: true, note: '' });
const released = (unit: string) => [parked(unit), papers(unit), at(2, 'release', { unit })];
const view = (...units: UnitRow[]): Snapshot => ({ version: 1, at: 0, plant, setupVersion: 1, units, stops: [], floorTime: [], stations: [], crew: [], exits: [], unreleasedShips: [] });

describe('units for the release', () => {
  it('are those built and not released, the ones with least missing first, then the earliest promise', () => {
    const all = view(row('MUCH', 'D', '2026-06-01', parked('MUCH')), row('LATER', 'D', '2026-06-09', parked('LATER'), papers('LATER')), row('SOON', 'D', '2026-06-05', parked('SOON'), papers('SOON')),
      row('LINE', 'D', null, at(0, 'arrive', { unit: 'LINE', station: 'A' })), row('DONE', 'D', null, ...released('DONE')));
    expect(unreleased(all, minute(5)).map(({ row: { state }, missing }) => [state.unit, missing.length])).toEqual([['SOON', 0], ['LATER', 0], ['MUCH', 1]]);
  });
});

describe('the ship list', () => {
  it('has the released by dealer, by promise, those without one last', () => {
    const all = view(row('B2', 'Dealer B', null, ...released('B2')), row('B1', 'Dealer B', '2026-06-02', ...released('B1')), row('A1', 'Dealer A', '2026-06-03', ...released('A1')), row('A2', 'Dealer A', null, parked('A2')));
    expect(readyByDealer(all).map(({ dealer, rows }) => [dealer, rows.map(({ state }) => state.unit)])).toEqual([['Dealer A', ['A1']], ['Dealer B', ['B1', 'B2']]]);
  });
});

describe('what is missing', () => {
  it.each([
    ['fit', '/P/station?at=YARD'], ['fix', '/P/work?unit=U1'], ['verify', '/P/work?unit=U1'], ['check', '/P/checks?unit=U1&at=B'], ['certify', '/P/checks?unit=U1&at=B'], ['label', '/P/checks?unit=U1&at=B'],
    ['settle', '/P/access?unit=U1'], ['clear', '/P/holds'], ['item', null],
  ] as [MissingKind, string | null][])('of the kind %s is mended at %s', (kind, path) => {
    expect(mendedAt('P', row('U1', 'D', null, parked('U1')), { kind, what: '', station: 'B', detail: '' })).toBe(path);
  });
});
