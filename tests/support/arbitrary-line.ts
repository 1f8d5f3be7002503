import fc from 'fast-check';
import type { DrawTable } from '../../server/core/forecast/draw-table.ts';
import type { ForecastInput, ForecastUnit } from '../../server/core/forecast/forecast-input.ts';
import { forecastInput, forecastStation, working } from './given-forecast.ts';

interface Shape {
  roll: ForecastInput['roll'];
  stations: { capacity: number | null; placeLength: number | null; unitsMayPass: boolean }[];
  units: { standards: number[]; skips: number; length: number; reached: number; here: boolean; worked: number | null; plannedRelease: number | null }[];
  lastRelease: number | null;
}

/** Any line in mid-work: places by number and by length, units that stand, come back, or are still to be released, stations left out of a route. */
export function arbitraryLine(ratios: DrawTable, only: Partial<Pick<Shape, 'roll'>> & { counted?: boolean } = {}): fc.Arbitrary<ForecastInput> {
  const station = fc.record({
    capacity: fc.oneof(fc.integer({ min: 1, max: 3 }), fc.constant(null)), placeLength: only.counted ? fc.constant(null) : fc.oneof({ weight: 4, arbitrary: fc.constant(null) }, fc.integer({ min: 8, max: 30 })),
    unitsMayPass: fc.boolean(),
  });
  const unit = fc.record({
    standards: fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 6, maxLength: 6 }), skips: fc.integer({ min: 0, max: 12 }), length: fc.integer({ min: 6, max: 12 }), reached: fc.integer({ min: -3, max: 4 }), here: fc.boolean(),
    worked: fc.oneof(fc.integer({ min: 0, max: 70 }), fc.constant(null)), plannedRelease: fc.oneof(fc.integer({ min: 0, max: 300 }), fc.constant(null)),
  });
  return fc.record({
    roll: only.roll ? fc.constant(only.roll) : fc.constantFrom('asReady' as const, 'together' as const), stations: fc.array(station, { minLength: 1, maxLength: 5 }), units: fc.array(unit, { minLength: 1, maxLength: 9 }),
    lastRelease: fc.oneof(fc.integer({ min: -40, max: 0 }), fc.constant(null)),
  }).map((shape) => lineOf(shape, ratios));
}

function lineOf({ roll, stations, units, lastRelease }: Shape, ratios: DrawTable): ForecastInput {
  const places = stations.map((station, i) => forecastStation(`S${i + 1}`, { ...station, draws: working(ratios) }));
  const coming = units.map((unit, u): ForecastUnit => {
    // Every unit has the first station on its route, and may have one other left out.
    const route = places.map(({ code }, i) => ({ station: code, standard: unit.standards[i]! })).filter((_, i) => i === 0 || i !== unit.skips);
    const reached = Math.max(-1, Math.min(unit.reached, route.length - 1));
    const here = reached >= 0 && (unit.here || reached === route.length - 1);
    return { unit: `U${u + 1}`, length: unit.length, route, reached, here, worked: here ? unit.worked : null, plannedRelease: unit.plannedRelease, holds: [], openShorts: [], stage: null, promise: null };
  });
  coming.sort((a, b) => b.reached - a.reached || Number(a.here) - Number(b.here));
  return forecastInput(places, coming, { roll, lastRelease });
}
