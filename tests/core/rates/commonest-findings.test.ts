import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { WorkState } from '../../../server/core/facts/quality-state.ts';
import { commonestByStation, commonestFindings } from '../../../server/core/rates/commonest-findings.ts';

const found = (what: string, at: number, more: Partial<WorkState> = {}): WorkState => ({
  id: `${what}${at}`, what, zone: null, severity: 'major', belongsTo: 'A', ofCheck: null, found: { at, who: 'w' }, status: 'found', fixed: null, verified: null, reopened: 0,
  spots: [], note: '', photos: [], ...more,
});

const SINCE = 100;

describe('the commonest findings of a station', () => {
  it('are counted over units whatever became of them, the most frequent first', () => {
    const units = [
      { work: [found('Screw missing', 1), found('Scratch', 2, { status: 'verified' })] },
      { work: [found('Scratch', 3), found('Gap', 9), found('Scratch', 5, { belongsTo: 'B' })] },
    ];
    expect(commonestFindings(units, 'A', SINCE, 6).map(({ what, found: n }) => [what, n])).toEqual([['Scratch', 2], ['Gap', 1], ['Screw missing', 1]]);
    expect(commonestFindings(units, 'B', SINCE, 6)).toHaveLength(1);
    expect(commonestFindings(units, 'C', SINCE, 6)).toEqual([]);
  });

  it('are those of the last weeks first, then those of before', () => {
    const work = [...[1, 2, 3].map((at) => found('Old', at)), found('New', 100), found('Old', 99), found('Both', 50), found('Both', 150), found('Both', 160)];
    expect(commonestFindings([{ work }], 'A', SINCE, 6).map(({ what, found: n, recent }) => [what, n, recent])).toEqual([['Both', 3, 2], ['New', 1, 1], ['Old', 4, 0]]);
    expect(commonestFindings([{ work }], 'A', SINCE, 2).map(({ what }) => what)).toEqual(['Both', 'New']);
  });

  it('are the same in other capitals and spaces, and keep zone, gravity and words of the last time', () => {
    const units = [{ work: [found('screw  missing ', 7, { zone: 'wall', severity: 'safety' }), found('Screw missing', 1)] }];
    expect(commonestFindings(units, 'A', SINCE, 6)).toEqual([{ what: 'screw  missing ', zone: 'wall', severity: 'safety', found: 2, recent: 0 }]);
  });

  it('are told of every station whose work something was, and of none for work that is nobody’s', () => {
    const told = commonestByStation([{ work: [found('x', 1, { belongsTo: 'B' }), found('y', 1), found('z', 1, { belongsTo: null })] }], SINCE, 6);
    expect(Object.keys(told)).toEqual(['A', 'B']);
  });

  it('come in one order whatever the order of units, are at most as many as wanted, and count every finding once', () => {
    const one = fc.record({ what: fc.constantFrom('a', 'A', 'b', 'c '), at: fc.nat(20), station: fc.constantFrom('A', 'B') });
    fc.assert(fc.property(fc.array(one), fc.nat(4), fc.nat(100), (all, most, turn) => {
      const work = all.map(({ what, at, station }) => found(what, at * 10, { belongsTo: station }));
      const turned = [...work.slice(turn % (work.length + 1)), ...work.slice(0, turn % (work.length + 1))];
      const told = commonestFindings([{ work }], 'A', SINCE, most);
      expect(commonestFindings(turned.map((each) => ({ work: [each] })), 'A', SINCE, most)).toEqual(told);
      expect(told.length).toBeLessThanOrEqual(most);
      expect(told.every((each, i) => i === 0 || each.recent < told[i - 1]!.recent || (each.recent === told[i - 1]!.recent && each.found <= told[i - 1]!.found))).toBe(true);
      const everywhere = Object.values(commonestByStation([{ work }], SINCE, 99)).flat();
      expect(everywhere.reduce((sum, each) => sum + each.found, 0)).toBe(work.length);
      expect(everywhere.reduce((sum, each) => sum + each.recent, 0)).toBe(work.filter(({ found: { at } }) => at >= SINCE).length);
    }));
  });
});
