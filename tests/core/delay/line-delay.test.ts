import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineDelay } from '../../../server/core/delay/line-delay.ts';
import { projectLine } from '../../../server/core/delay/projection.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import type { LineHistory } from '../../../server/core/timeline/line-history.ts';
import { minute } from '../../support/given.ts';
import { simulateLine, type SimLine, type SimLineUnit } from '../../support/simulated-line.ts';

const UNTIL = 260;

/** Lines of two to five stations with places for one or two, everything that may go wrong going wrong now and then. */
const anyLine = (together: boolean): fc.Arbitrary<SimLine> => fc.integer({ min: 2, max: 5 }).chain((stations) => {
  const each = <T>(one: fc.Arbitrary<T>): fc.Arbitrary<T[]> => fc.array(one, { minLength: stations, maxLength: stations });
  const rarely = fc.oneof({ weight: 4, arbitrary: fc.constant(0) }, { weight: 1, arbitrary: fc.integer({ min: -9, max: 14 }) });
  const unit = fc.record({ gap: fc.integer({ min: 0, max: 30 }), dated: fc.boolean(), late: rarely, off: each(rarely), lag: each(fc.constantFrom(0, 0, 0, 1, 4)), scanned: each(fc.constantFrom(true, true, true, false)) });
  const stretch = { from: fc.nat(220), lasts: fc.integer({ min: 1, max: 50 }) };
  return fc.record({
    standard: each(fc.integer({ min: 3, max: 25 })), capacity: each(together ? fc.constant(1) : fc.constantFrom(1, 1, 2)), mayPass: each(fc.constantFrom(true, true, false)),
    pace: fc.integer({ min: 5, max: 30 }), drawn: fc.array(unit, { minLength: 1, maxLength: 7 }),
    stops: fc.array(fc.record({ station: fc.nat(stations - 1), ...stretch }), { maxLength: 3 }),
    holds: fc.array(fc.record({ unit: fc.nat(6), keeps: fc.constantFrom('work' as const, 'leaving' as const), ...stretch }), { maxLength: 4 }),
    pulls: fc.array(fc.record({ unit: fc.nat(6), ...stretch }), { maxLength: 3 }), rollLags: fc.array(fc.constantFrom(0, 0, 2, 7), { maxLength: 12 }),
  }).map(({ drawn, stops, holds, pulls, ...line }): SimLine => {
    let planned = 0;
    const units = drawn.map(({ gap, dated, late, off, lag, scanned }): SimLineUnit => {
      planned += gap;
      return { planned: dated ? planned : null, there: Math.max(0, planned + late), work: line.standard.map((standard, i) => Math.max(1, standard + off[i]!)), lag, scanned };
    });
    const known = <T extends { unit: number }>(one: T): boolean => one.unit < units.length;
    return {
      ...line, together, units, until: UNTIL + 40, stops: stops.map(({ station, from, lasts }, i) => ({ id: `stop-${i}`, station, from, to: from + lasts })),
      holds: holds.filter(known).map(({ unit: of, keeps, from, lasts }, i) => ({ id: `hold-${i}`, unit: of, keeps, from, to: from + lasts })),
      pulls: pulls.filter((one, i) => known(one) && pulls.findIndex(({ unit: of }) => of === one.unit) === i).map(({ unit: of, from, lasts }) => ({ unit: of, at: from, back: from + lasts })),
    };
  });
});

const period = fc.tuple(fc.integer({ min: -5, max: 150 }), fc.integer({ min: 1, max: 120 })).map(([from, length]) => [from, Math.min(UNTIL, from + length)] as const);

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
    fc.assert(fc.property(anyLine(together), period, (sim, [from, to]) => {
      const history = simulateLine(sim);
      const { exits } = lineDelay(history, minute(from), minute(to));
      const known = exitsKnownAt(history, from, to, `S${sim.standard.length}`);
      expect(Object.fromEntries(exits.map(({ unit, built }) => [unit, built]))).toEqual(Object.fromEntries(exits.map(({ unit }) => [unit, known.get(unit)])));
    }), { numRuns: 400 });
  });

  it('charges causes that add up exactly to the total', () => {
    fc.assert(fc.property(anyLine(together), period, (sim, [from, to]) => {
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
    fc.assert(fc.property(inTurn, period, (sim, [from, to]) => {
      const history = simulateLine(sim);
      const { exits } = lineDelay(history, minute(from), minute(to));
      const known = exitsKnownAt(history, from, from, `S${sim.standard.length}`);
      expect(Object.fromEntries(exits.map(({ unit, planned }) => [unit, planned]))).toEqual(Object.fromEntries(exits.map(({ unit }) => [unit, known.get(unit)])));
    }), { numRuns: 400 });
  });
});
