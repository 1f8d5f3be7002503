import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineDelay } from '../../../server/core/delay/line-delay.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import type { LineHistory } from '../../../server/core/timeline/line-history.ts';
import { minute } from '../../support/given.ts';
import { simulateLine, type SimLine, unitCode } from '../../support/simulated-line.ts';

const UNTIL = 600;

/** Lines of one place a station on which nothing overtakes, so that each charge can be had by simulating the line once more. */
const inLine: fc.Arbitrary<SimLine> = fc.integer({ min: 2, max: 4 }).chain((stations) => {
  const each = <T>(one: fc.Arbitrary<T>): fc.Arbitrary<T[]> => fc.array(one, { minLength: stations, maxLength: stations });
  const unit = fc.record({ gap: fc.integer({ min: 0, max: 25 }), off: each(fc.constantFrom(0, 0, 0, -4, -1, 2, 9)), lag: each(fc.constantFrom(0, 0, 0, 1, 5)) });
  const stretch = { from: fc.nat(150), lasts: fc.integer({ min: 1, max: 40 }) };
  return fc.record({
    standard: each(fc.integer({ min: 5, max: 20 })), drawn: fc.array(unit, { minLength: 1, maxLength: 6 }),
    stops: fc.array(fc.record({ station: fc.nat(stations - 1), ...stretch }), { maxLength: 3 }), holds: fc.array(fc.record({ unit: fc.nat(5), ...stretch }), { maxLength: 3 }),
  }).map(({ standard, drawn, stops, holds }): SimLine => {
    let planned = 0;
    const units = drawn.map(({ gap, off, lag }) => {
      planned += gap;
      return { planned, there: planned, work: standard.map((minutes, i) => minutes + off[i]!), lag };
    });
    return {
      standard, capacity: standard.map(() => 1), pace: 20, units, pulls: [], until: UNTIL, stops: stops.map(({ station, from, lasts }, i) => ({ id: `stop-${i}`, station, from, to: from + lasts })),
      holds: holds.filter((one) => one.unit < units.length).map(({ unit: of, from, lasts }, i) => ({ id: `hold-${i}`, unit: of, keeps: 'work' as const, from, to: from + lasts })),
    };
  });
});

function lastExit(history: LineHistory): number {
  return (history.units.at(-1)!.stays.at(-1)!.left! - minute(0)) / 60_000;
}

/** Whether a hold kept a finished unit: it then keeps it until an instant and not for so many minutes, and the case is left to others. */
function keepsFinished(history: LineHistory): boolean {
  return history.units.some(({ stays, holds }) => stays.some((stay) => holds.some((hold) => stay.finished !== null && hold.opened < stay.left! && hold.cleared! > stay.finished)));
}

describe('what each deviation is charged', () => {
  it('is what the line, simulated at standard with it and all that began before it, ends later', () => {
    fc.assert(fc.property(inLine, (sim) => {
      const history = simulateLine(sim);
      fc.pre(!keepsFinished(history));
      const { causes } = lineDelay(history, minute(-1), minute(UNTIL));
      const visits = deriveVisits(history, minute(UNTIL));
      const units = sim.units.map((unit) => ({ ...unit, work: [...sim.standard], lag: sim.standard.map(() => 0) }));
      const exit = (): number => lastExit(simulateLine({ ...sim, units, stops: [], holds: [] }));
      let before = exit();
      for (const { kind, cause, unit, station, localMinutes, lineMinutes } of causes) {
        if (cause === null) {
          const own = units[sim.units.findIndex((_, i) => unitCode(i) === unit)]!;
          own[kind === 'rollLag' ? 'lag' : 'work'][Number(station!.slice(1)) - 1]! += localMinutes;
        }
        for (const visit of cause === null ? [] : visits) {
          const taken = visit.causes.find(({ id }) => id === cause)?.minutes ?? 0;
          units[sim.units.findIndex((_, i) => unitCode(i) === visit.unit)]!.work[Number(visit.station.slice(1)) - 1]! += taken;
        }
        const after = exit();
        expect({ kind, cause, unit, station, lineMinutes }).toEqual({ kind, cause, unit, station, lineMinutes: after - before });
        before = after;
      }
      expect(before).toBe(lastExit(history));
    }), { numRuns: 200 });
  });

  it('has for local minutes of holds, stops and roll lag those of the visits', () => {
    fc.assert(fc.property(inLine, (sim) => {
      const history = simulateLine(sim);
      const { causes } = lineDelay(history, minute(-1), minute(UNTIL));
      const visits = deriveVisits(history, minute(UNTIL));
      const sum = (values: number[]): number => values.reduce((total, value) => total + value, 0);
      for (const { cause, localMinutes } of causes.filter((one) => one.cause !== null)) {
        expect(localMinutes).toBeCloseTo(sum(visits.flatMap((visit) => visit.causes.filter(({ id }) => id === cause).map(({ minutes }) => minutes))), 9);
      }
      const lag = (unit: string, station: string): number => sum(causes.filter((one) => one.kind === 'rollLag' && one.unit === unit && one.station === station).map((one) => one.localMinutes));
      for (const { unit, station, minutes } of visits) expect(lag(unit, station)).toBeCloseTo(minutes.rollLag, 9);
    }), { numRuns: 100 });
  });
});
