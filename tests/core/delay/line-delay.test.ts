import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineDelay } from '../../../server/core/delay/line-delay.ts';
import { projectLine } from '../../../server/core/delay/projection.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import type { LineHistory } from '../../../server/core/timeline/line-history.ts';
import { minute } from '../../support/given.ts';
import { anyLine, anyPeriod } from '../../support/any-line.ts';
import { simulateLine, type SimLine } from '../../support/simulated-line.ts';

/** Exits by unit in minutes after `from`: real ones, and for those still on the line the projection from the state at `to`. */
function exitsKnownAt(history: LineHistory, from: number, to: number, lastStation: string): Map<string, number> {
  const exits = new Map<string, number>();
  for (const { unit, stays } of history.units) {
    const end = stays.find((stay) => stay.station === lastStation && stay.left !== null && stay.left <= minute(to));
    if (end) exits.set(unit, (end.left! - minute(from)) / 60_000);
  }
  for (const { unit, exit } of projectLine(history, deriveVisits(history, minute(to)), minute(to))) exits.set(unit, (exit - minute(from)) / 60_000);
  return exits;
}

describe.each([['as ready', false], ['together', true]])('lineDelay of a line that moves %s', (_, together) => {
  it('with everything put in is the projection from what really was, for every unit', () => {
    fc.assert(fc.property(anyLine(together), anyPeriod, (sim, [from, to]) => {
      const history = simulateLine(sim);
      const { exits } = lineDelay(history, minute(from), minute(to));
      const known = exitsKnownAt(history, from, to, `S${sim.standard.length}`);
      expect(Object.fromEntries(exits.map(({ unit, built }) => [unit, built]))).toEqual(Object.fromEntries(exits.map(({ unit }) => [unit, known.get(unit)])));
    }), { numRuns: 400 });
  });

  it('charges causes that add up exactly to the total', () => {
    fc.assert(fc.property(anyLine(together), anyPeriod, (sim, [from, to]) => {
      const { causes, totalMinutes, lostMinutes, inPipeMinutes, lastUnit, exits } = lineDelay(simulateLine(sim), minute(from), minute(to));
      expect(causes.reduce((sum, { lineMinutes }) => sum + lineMinutes, 0)).toBe(totalMinutes);
      expect(lostMinutes + inPipeMinutes).toBe(totalMinutes);
      const last = exits.find(({ unit }) => unit === lastUnit);
      expect(last ? last.built - last.planned : 0).toBe(totalMinutes);
      expect(causes.map(({ began }) => began)).toEqual(causes.map(({ began }) => began).sort((a, b) => a - b));
    }), { numRuns: 150 });
  });
});

describe.each([['as ready', false], ['together', true]])('the plan of a line that moves %s', (_, together) => {
  const inTurn = anyLine(together).map((sim): SimLine => {
    let before = 0;
    const units = sim.units.map((unit) => {
      before = Math.max(before, unit.planned ?? before);
      return { ...unit, planned: before };
    });
    return { ...sim, units, capacity: sim.capacity.map(() => 1) };
  });

  it('is the projection from the state at the beginning, where units pass each other only when one is off the line', () => {
    fc.assert(fc.property(inTurn, anyPeriod, (sim, [from, to]) => {
      const history = simulateLine(sim);
      const { exits } = lineDelay(history, minute(from), minute(to));
      const known = exitsKnownAt(history, from, from, `S${sim.standard.length}`);
      expect(Object.fromEntries(exits.map(({ unit, planned }) => [unit, planned]))).toEqual(Object.fromEntries(exits.map(({ unit }) => [unit, known.get(unit)])));
    }), { numRuns: 400 });
  });
});
