import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { demoPlant, simulateDemo } from '../../../seed/load-demo.ts';
import { causesInOrder } from '../../../server/core/delay/causes-in-order.ts';
import type { DelayCause } from '../../../server/core/delay/line-delay.ts';
import { lineDelayByShift } from '../../../server/core/delay/line-delay-by-shift.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';

const cause = (own: Partial<DelayCause>): DelayCause => ({ kind: 'rollLag', cause: null, unit: 'U1', station: 'S1', began: 0, localMinutes: 0, lineMinutes: 0, ...own });
const none = (): string => '';
const reasonOf = ({ cause: id }: DelayCause): string => (id === null ? '' : `reason of ${id}`);

describe('the causes of a line delay in order', () => {
  it('stand largest first with their shares, what is the same put together', () => {
    const told = causesInOrder([
      cause({ lineMinutes: 3, localMinutes: 4 }), cause({ kind: 'hold', cause: 'h1', station: 'S2', lineMinutes: 12, localMinutes: 20 }),
      cause({ unit: 'U2', lineMinutes: 2, localMinutes: 2 }), cause({ unit: 'U1', lineMinutes: 3, localMinutes: 3 }),
    ], reasonOf);
    expect(told.pushed.map(({ kind, reason, station, units, times, amount, localMinutes }) => [kind, reason, station, units, times, amount, localMinutes])).toEqual([
      ['hold', 'reason of h1', 'S2', ['U1'], 1, 12, 20], ['rollLag', '', 'S1', ['U1', 'U2'], 3, 8, 9],
    ]);
    expect(told.pushed.map(({ share, cumulative }) => [share, cumulative])).toEqual([[0.6, 0.6], [0.4, 1]]);
    expect(told).toMatchObject({ pushedMinutes: 20, recoveredMinutes: 0 });
  });

  it('keep another reason, station or kind apart', () => {
    const told = causesInOrder([
      cause({ kind: 'stop', cause: 'a', lineMinutes: 1 }), cause({ kind: 'stop', cause: 'b', lineMinutes: 1 }), cause({ kind: 'stop', cause: 'a', station: 'S2', lineMinutes: 1 }), cause({ lineMinutes: 1 }),
    ], reasonOf);
    expect(told.pushed).toHaveLength(4);
  });

  it('name no unit for what had none, and nothing that cost the line nothing', () => {
    expect(causesInOrder([cause({ kind: 'stop', unit: null, lineMinutes: 5 }), cause({ unit: 'U2', lineMinutes: 0, localMinutes: 30 })], none).pushed)
      .toMatchObject([{ kind: 'stop', units: [], times: 1, amount: 5 }]);
  });

  it('tell apart what was recovered, also where the same cost and brought back', () => {
    const told = causesInOrder([cause({ lineMinutes: 2 }), cause({ lineMinutes: -5 }), cause({ kind: 'underStandard', lineMinutes: -3 }), cause({ kind: 'overStandard', lineMinutes: 4 })], none);
    expect(told.pushed.map(({ kind, amount }) => [kind, amount])).toEqual([['overStandard', 4]]);
    expect(told).toMatchObject({ pushedMinutes: 4, recoveredMinutes: -6 });
  });

  it('are none for a quiet shift', () => {
    expect(causesInOrder([], none)).toEqual({ pushed: [], pushedMinutes: 0, recoveredMinutes: 0 });
  });

  it('add up to the line delay, whatever they are, and fall from one to the next', () => {
    const anyCause = fc.record({
      kind: fc.constantFrom('rollLag' as const, 'overStandard' as const, 'hold' as const), unit: fc.constantFrom('U1', 'U2', null), station: fc.constantFrom('S1', 'S2', null),
      lineMinutes: fc.integer({ min: -600, max: 600 }).map((n) => n / 4),
    }).map(cause);
    fc.assert(fc.property(fc.array(anyCause, { maxLength: 30 }), (causes) => {
      const { pushed, pushedMinutes, recoveredMinutes } = causesInOrder(causes, none);
      expect(pushedMinutes + recoveredMinutes).toBeCloseTo(causes.reduce((sum, { lineMinutes }) => sum + lineMinutes, 0), 9);
      expect(pushed.map(({ amount }) => amount)).toEqual(pushed.map(({ amount }) => amount).toSorted((a, b) => b - a));
      expect(pushed.every(({ amount }) => amount > 0)).toBe(true);
      expect(recoveredMinutes).toBeLessThanOrEqual(0);
    }));
  });

  it('add up to the line delay of every shift of the demo plant', () => {
    const now = Date.parse('2026-06-05T18:00:00Z');
    const plant = demoPlant(now);
    const setups = [{ version: 1, validFrom: now - 30 * 86_400_000, plant }];
    const facts = simulateDemo({ plant, now, seed: 11, speed: 1 }, 14).factsUntil(now);
    const shifts = lineDelayByShift(lineHistoryOf('MAIN', setups, facts), now - 7 * 86_400_000, now);
    expect(shifts.length).toBeGreaterThanOrEqual(5);
    for (const { delay } of shifts) {
      const { pushedMinutes, recoveredMinutes, pushed } = causesInOrder(delay.causes, reasonOf);
      expect(pushedMinutes + recoveredMinutes).toBeCloseTo(delay.totalMinutes, 6);
      expect(pushed.at(-1)?.cumulative ?? 1).toBeCloseTo(1, 9);
    }
  });
});
