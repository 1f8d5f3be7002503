import fc from 'fast-check';
import type { SimLine, SimLineUnit } from './simulated-line.ts';

export const UNTIL = 260;

/** Lines of two to five stations with places for one or two, everything that may go wrong going wrong now and then. */
export const anyLine = (together: boolean): fc.Arbitrary<SimLine> => fc.integer({ min: 2, max: 5 }).chain((stations) => {
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

/** From and to, in minutes. */
export const anyPeriod = fc.tuple(fc.integer({ min: -5, max: 150 }), fc.integer({ min: 1, max: 120 })).map(([from, length]) => [from, Math.min(UNTIL, from + length)] as const);
