import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foldLoads } from '../../../server/core/loads/fold-loads.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { at, minute, registered } from '../../support/given.ts';

const plan = (t: number, carrier: string, pickUp: number | null, load = 'L1'): Fact => at(t, 'planLoad', { load, carrier, pickUp: pickUp === null ? null : minute(pickUp), note: '' });
const call = (t: number, load = 'L1'): Fact => at(t, 'callCarrier', { load, note: 'gate 2' });

describe('what is said of a load', () => {
  it('is what was said last', () => {
    expect(foldLoads([plan(1, 'A', 100), plan(5, 'A', 200), call(3)])).toEqual([
      { load: 'L1', carrier: 'A', pickUp: minute(200), note: '', called: { at: minute(3), who: 'badge-1', note: 'gate 2' } },
    ]);
  });
  it('is called only for the carrier that was called', () => {
    expect(foldLoads([plan(1, 'A', 100), call(3), plan(5, 'B', 100)])[0]!.called).toBeNull();
    expect(foldLoads([plan(1, 'A', 100), plan(5, 'B', 100), call(6)])[0]!.called).not.toBeNull();
  });
  it('stands for a load that nobody planned, once its carrier was called', () => {
    expect(foldLoads([call(1, 'X')])).toMatchObject([{ load: 'X', carrier: '', pickUp: null, called: { at: minute(1) } }]);
  });
  it('is taken back by a void', () => {
    const called = call(3);
    expect(foldLoads([plan(1, 'A', 100), called, at(4, 'void', { fact: called.id, reason: 'wrong load' })])[0]!.called).toBeNull();
    const only = plan(1, 'A', 100);
    expect(foldLoads([only, at(2, 'void', { fact: only.id, reason: 'not today' })])).toEqual([]);
  });
  it('is a function of the set of facts, whatever order they come in and however often', () => {
    const one = fc.oneof(
      fc.record({ t: fc.nat(50), carrier: fc.constantFrom('A', 'B'), load: fc.constantFrom('L1', 'L2') }).map(({ t, carrier, load }) => plan(t, carrier, t + 100, load)),
      fc.record({ t: fc.nat(50), load: fc.constantFrom('L1', 'L2') }).map(({ t, load }) => call(t, load)),
    );
    fc.assert(fc.property(fc.array(one, { maxLength: 12 }).chain((facts) => fc.tuple(fc.constant(facts), fc.shuffledSubarray([...facts, ...facts], { minLength: 2 * facts.length, maxLength: 2 * facts.length }))),
      ([facts, mixed]) => {
        expect(foldLoads(mixed)).toEqual(foldLoads(facts));
      }));
  });
});

describe('the load of a unit', () => {
  const on = (t: number, load: string | null): Fact => at(t, 'putOnLoad', { unit: 'U1', load });
  const fold = (...facts: Fact[]) => foldUnit('U1', [registered('U1'), ...facts], []);
  it('is the one it was put on last, or none', () => {
    expect(fold(on(1, 'L1'), on(2, 'L2')).state.load).toBe('L2');
    expect(fold(on(1, 'L1'), on(2, null)).state.load).toBeNull();
  });
  it('stays with it when it is picked up, and not when it is cancelled', () => {
    expect(fold(on(1, 'L1'), at(5, 'ship', { unit: 'U1', carrier: 'A' })).state).toMatchObject({ load: 'L1', shipped: minute(5) });
    expect(fold(on(1, 'L1'), at(5, 'cancel', { unit: 'U1', reason: 'x' })).state.load).toBeNull();
  });
  it('is known when it comes back, and it is on none then', () => {
    const back = fold(on(1, 'L1'), at(5, 'ship', { unit: 'U1', carrier: 'A' }), at(9, 'comeBack', { unit: 'U1', reason: 'awning torn' })).state;
    expect(back).toMatchObject({ load: null, shipped: null, stage: 'yard', cameBack: { at: minute(9), reason: 'awning torn', load: 'L1' } });
  });
  it('is not changed after it has gone, and that is told', () => {
    const { state, flags } = fold(on(1, 'L1'), at(5, 'ship', { unit: 'U1', carrier: 'A' }), on(6, 'L2'));
    expect(state.load).toBe('L1');
    expect(flags.map(({ code, detail }) => [code, detail])).toContainEqual(['gone', 'L2']);
  });
});
