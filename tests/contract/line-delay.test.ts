import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type NamedCause, stationCosts } from '../../server/contract/line-delay.ts';

const cause = (station: string, lineMinutes: number, more: Partial<NamedCause> = {}): NamedCause =>
  ({ kind: 'hold', cause: 'h', unit: 'U1', station, began: 0, localMinutes: 0, lineMinutes, reason: 'Part missing', ...more });

describe('what each station cost the line', () => {
  it('is the sum of its causes of one kind and reason, the dearest first, with the units', () => {
    expect(stationCosts([cause('A', 3), cause('B', 9), cause('A', 2, { unit: 'U2' }), cause('A', 1, { reason: 'Damage' }), cause('C', 0)])).toEqual([
      { station: 'B', kind: 'hold', reason: 'Part missing', lineMinutes: 9, units: ['U1'] },
      { station: 'A', kind: 'hold', reason: 'Part missing', lineMinutes: 5, units: ['U1', 'U2'] },
      { station: 'A', kind: 'hold', reason: 'Damage', lineMinutes: 1, units: ['U1'] },
    ]);
  });

  it('adds up to what the causes add up to, recovered minutes included', () => {
    const any = fc.record({ station: fc.constantFrom('A', 'B'), minutes: fc.integer({ min: -50, max: 50 }), kind: fc.constantFrom('hold' as const, 'overStandard' as const) });
    fc.assert(fc.property(fc.array(any), (drawn) => {
      const causes = drawn.map(({ station, minutes, kind }) => cause(station, minutes, { kind }));
      const sum = (values: readonly { lineMinutes: number }[]) => values.reduce((total, { lineMinutes }) => total + lineMinutes, 0);
      expect(sum(stationCosts(causes))).toBeCloseTo(sum(causes), 9);
    }));
  });
});
