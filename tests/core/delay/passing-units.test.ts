import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { lineDelay } from '../../../server/core/delay/line-delay.ts';
import { MS_PER_MINUTE } from '../../../server/core/units.ts';
import { floorDays, setups } from '../../support/floor-days.ts';
import { at, minute, registered } from '../../support/given.ts';

describe('line delay where units passed one another against the room there is', () => {
  // Two stand in A, which has one place; a third came to C past both, unscanned in A. C is then its own before theirs, and B has two places:
  // it waits for A, the second waits for B, and whoever stands there waits for it in C.
  const facts = [
    ...['U0', 'U1', 'U2'].map((unit, sequence) => registered(unit, { sequence })),
    at(1_000, 'arrive', { unit: 'U0', station: 'A' }), at(1_000, 'arrive', { unit: 'U1', station: 'A' }),
    at(1_386, 'arrive', { unit: 'U2', station: 'B' }), at(1_387, 'arrive', { unit: 'U2', station: 'C' }), at(1_388, 'leave', { unit: 'U2', station: 'C' }),
  ];

  it('is told, and adds up', () => {
    const { exits, causes, totalMinutes } = lineDelay(lineHistoryOf('MAIN', setups, facts), minute(360), minute(1_600));
    expect(exits.map(({ unit }) => unit)).toEqual(['U0', 'U1', 'U2']);
    for (const { planned, built } of exits) expect([Number.isFinite(planned), Number.isFinite(built)]).toEqual([true, true]);
    expect(causes.reduce((sum, { lineMinutes }) => sum + lineMinutes, 0)).toBe(totalMinutes);
  });

  it('is finite, and adds up exactly, whatever was scanned', () => {
    fc.assert(fc.property(floorDays, fc.integer({ min: 0, max: 9 * 1_440 }), fc.integer({ min: 1, max: 9 * 1_440 }), ({ history }, from, length) => {
      const { exits, causes, totalMinutes, lostMinutes, inPipeMinutes } = lineDelay(history, minute(from), minute(from + length));
      for (const { planned, built } of exits) expect([Number.isFinite(planned), Number.isFinite(built)]).toEqual([true, true]);
      expect(Math.round(causes.reduce((sum, { lineMinutes }) => sum + lineMinutes * MS_PER_MINUTE, 0))).toBe(Math.round(totalMinutes * MS_PER_MINUTE));
      expect(lostMinutes + inPipeMinutes).toBeCloseTo(totalMinutes, 9);
    }), { numRuns: 200 });
  });
});
