import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldPlaces } from '../../../server/core/facts/fold-places.ts';
import { aLine, aPlant, aStation, at, minute, setupOf } from '../../support/given.ts';

const setups = setupOf(aPlant(aLine([aStation('A'), aStation('B')]), { A: 25, B: 30 }));
const fold = (...facts: Fact[]) => foldPlaces(facts, setups);
const stop = (m: number, station = 'A') => at(m, 'openStop', { station, reason: 'Tool broken', note: 'hoist' });
const clear = (m: number, target: string, station = 'A') => at(m, 'clearStop', { station, stop: target, note: '' });
const heads = (m: number, count: number, station = 'A') => at(m, 'heads', { station, heads: count });

describe('what the facts say of stations and lines', () => {
  it('has stops with the instant they were cleared at, by the first clearing', () => {
    const open = stop(10);
    expect(fold(open).stops).toMatchObject([{ id: open.id, station: 'A', opened: minute(10), cleared: null, note: 'hoist', who: 'badge-1' }]);
    expect(fold(open, clear(20, open.id), clear(30, open.id)).stops).toMatchObject([{ cleared: minute(20) }]);
    expect(fold(clear(20, open.id), open).stops).toMatchObject([{ cleared: minute(20) }]);
  });

  it('flags a clearing of what is not in the log, an unknown station, an unknown line', () => {
    const codes = (...facts: Fact[]) => fold(...facts).flags.map(({ code, detail, station }) => [code, detail, station]);
    expect(codes(clear(20, 'nothing'))).toEqual([['unknownTarget', 'nothing', 'A']]);
    expect(codes(stop(1, 'NOWHERE'))).toEqual([['unknownStation', 'NOWHERE', 'NOWHERE']]);
    expect(codes(at(1, 'roll', { line: 'NOWHERE' }))).toEqual([['unknownLine', 'NOWHERE', null]]);
    expect(codes(stop(1), heads(2, 2), at(3, 'goneHome', { line: 'MAIN', station: null }), at(3, 'goneHome', { line: null, station: 'B' }))).toEqual([]);
  });

  it('keeps heads stated and lent in order, fractions as they were stated', () => {
    const loan = at(60, 'loan', { station: 'A', from: 'B', heads: 0.5, until: minute(120) });
    const told = (...facts: Fact[]) => fold(...facts).crew.map(({ kind, station, heads: count, happened }) => [kind, station, count, happened]);
    expect(told(heads(480, 1.5), loan, heads(0, 2))).toEqual([['heads', 'A', 2, minute(0)], ['loan', 'A', 0.5, minute(60)], ['heads', 'A', 1.5, minute(480)]]);
    expect(fold(loan).crew).toMatchObject([{ from: 'B', until: minute(120) }]);
    const wrong = heads(480, 9);
    expect(told(heads(0, 2), wrong, at(500, 'void', { fact: wrong.id, reason: 'typed 9 for 2' }))).toEqual([['heads', 'A', 2, minute(0)]]);
  });

  it('lists what was said of working time, for a line or a station', () => {
    const words = [at(600, 'openUntil', { line: 'MAIN', station: null, until: minute(700) }), at(650, 'goneHome', { line: null, station: 'B' })];
    expect(fold(...words).floorTime).toEqual([
      { kind: 'openUntil', line: 'MAIN', station: null, happened: minute(600), until: minute(700) },
      { kind: 'goneHome', line: null, station: 'B', happened: minute(650), until: null },
    ]);
  });
});
