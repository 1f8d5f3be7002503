import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { briefState, fullState } from '../../../server/core/facts/brief-state.ts';
import { emptyUnit } from '../../../server/core/facts/evolve.ts';
import type { UnitState } from '../../../server/core/facts/unit-state.ts';

describe('a state in brief', () => {
  it('of a serial of which nothing is known is the serial', () => {
    expect(briefState(emptyUnit('CF1'))).toEqual({ unit: 'CF1' });
  });

  it('is the whole state again, after its way through JSON too', () => {
    const other = fc.oneof(fc.constantFrom(null, '', 0, false), fc.string(), fc.integer(), fc.array(fc.string(), { minLength: 1, maxLength: 2 }), fc.record({ at: fc.integer() }));
    const fields = Object.entries(emptyUnit('CF1')).map(([field, empty]): [string, fc.Arbitrary<unknown>] => [field, field === 'unit' ? fc.constant('CF1') : fc.oneof(fc.constant(empty), other)]);
    fc.assert(fc.property(fc.record(Object.fromEntries(fields)), (drawn) => {
      const state = drawn as unknown as UnitState;
      expect(fullState(JSON.parse(JSON.stringify(briefState(state))))).toEqual(state);
    }));
  });
});
