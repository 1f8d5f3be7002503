import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { WorkState } from '../../../server/core/facts/quality-state.ts';
import { commonestFindings } from '../../../server/core/rates/commonest-findings.ts';

const found = (what: string, at: number, more: Partial<WorkState> = {}): WorkState => ({
  id: `${what}${at}`, what, zone: null, severity: 'major', belongsTo: 'A', ofCheck: null, found: { at, who: 'w' }, status: 'found', fixed: null, verified: null, reopened: 0,
  spots: [], note: '', photos: [], ...more,
});

describe('the commonest findings of a station', () => {
  it('are counted over units whatever became of them, the most frequent first', () => {
    const units = [
      { work: [found('Screw missing', 1), found('Scratch', 2, { status: 'verified' })] },
      { work: [found('Scratch', 3), found('Gap', 9), found('Scratch', 5, { belongsTo: 'B' })] },
    ];
    expect(commonestFindings(units, 'A', 6).map(({ what, found: n }) => [what, n])).toEqual([['Scratch', 2], ['Gap', 1], ['Screw missing', 1]]);
    expect(commonestFindings(units, 'B', 6)).toHaveLength(1);
    expect(commonestFindings(units, 'C', 6)).toEqual([]);
  });

  it('are the same in other capitals and spaces, and keep zone, gravity and words of the last time', () => {
    const units = [{ work: [found('screw  missing ', 7, { zone: 'wall', severity: 'safety' }), found('Screw missing', 1)] }];
    expect(commonestFindings(units, 'A', 6)).toEqual([{ what: 'screw  missing ', zone: 'wall', severity: 'safety', found: 2 }]);
  });

  it('come in one order, are at most as many as wanted, and count every finding once', () => {
    const one = fc.record({ what: fc.constantFrom('a', 'A', 'b', 'c '), at: fc.nat(20) });
    fc.assert(fc.property(fc.array(one), fc.nat(4), fc.nat(100), (all, most, turn) => {
      const work = all.map(({ what, at }, i) => found(what, at * 100 + i));
      const turned = [...work.slice(turn % (work.length + 1)), ...work.slice(0, turn % (work.length + 1))];
      const told = commonestFindings([{ work }], 'A', most);
      expect(commonestFindings(turned.map((each) => ({ work: [each] })), 'A', most)).toEqual(told);
      expect(told.length).toBeLessThanOrEqual(most);
      expect(told.every((each, i) => i === 0 || each.found <= told[i - 1]!.found)).toBe(true);
      expect(commonestFindings([{ work }], 'A', 99).reduce((sum, each) => sum + each.found, 0)).toBe(work.length);
    }));
  });
});
