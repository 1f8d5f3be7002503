import { type CalendarTable, calendarTable } from '../../server/core/forecast/calendar-table.ts';
import { constantTable, type DrawTable } from '../../server/core/forecast/draw-table.ts';
import type { Chance, ForecastInput, ForecastStage, ForecastStation, ForecastUnit, StationDraws } from '../../server/core/forecast/forecast-input.ts';
import type { ForecastRuns } from '../../server/core/forecast/run.ts';

/** Work round the clock. */
export const alwaysWorking = (): CalendarTable => calendarTable({ stretches: (from, to) => [{ from, to }] }, 0);

export const never: Chance = { rate: 0, minutes: constantTable(0) };
export const exactly: StationDraws = { ratios: constantTable(1), holds: never, stops: never, shorts: never };

/** Work that is `ratios` of the standard, and nothing else. */
export const working = (ratios: DrawTable): StationDraws => ({ ...exactly, ratios });

export function forecastStation(code: string, more: Partial<ForecastStation> = {}): ForecastStation {
  return { code, capacity: 1, placeLength: null, unitsMayPass: true, calendar: null, draws: exactly, ...more };
}

export function forecastStage(code: string, more: Partial<ForecastStage> = {}): ForecastStage {
  return { code, capacity: null, calendar: alwaysWorking(), probability: 1, minutes: constantTable(10), mends: false, ready: true, ...more };
}

/** A unit to be released at 0, with the standards of its route by station. */
export function forecastUnit(unit: string, standards: Record<string, number>, more: Partial<ForecastUnit> = {}): ForecastUnit {
  const route = Object.entries(standards).map(([station, standard]) => ({ station, standard }));
  return { unit, length: 8, route, reached: -1, here: false, worked: null, plannedRelease: 0, holds: [], openShorts: [], stage: null, promise: null, ...more };
}

/** A line that works round the clock and moves as ready. */
export function forecastInput(stations: ForecastStation[], units: ForecastUnit[], more: Partial<ForecastInput> = {}): ForecastInput {
  return { at: 0, roll: 'asReady', pace: 30, lastRelease: null, calendar: alwaysWorking(), stations, units, stages: [], ...more };
}

/**
 * The serial line of the published tables: one unit a station, `places[i]` places between stations i and i + 1, each of them a station without work;
 * `standards[u][i]` the standard of unit u at station i.
 */
export function serialLine(places: number[], standards: number[][], draws: StationDraws = exactly): ForecastInput {
  const codes = standards[0]!.map((_, i) => `S${i + 1}`);
  const stations = codes.flatMap((code, i) => [forecastStation(code, { draws }), ...(places[i] ? [forecastStation(`B${i + 1}`, { capacity: places[i]! })] : [])]);
  const units = standards.map((times, u) => forecastUnit(`U${u + 1}`, Object.fromEntries(stations.map(({ code }) => [code, code.startsWith('S') ? times[codes.indexOf(code)]! : 0]))));
  return forecastInput(stations, units);
}

/** The runs of one unit. */
export function runsOf(found: ForecastRuns, unit: string, of: 'exit' | 'ready' | 'pickedUp' = 'exit'): number[] {
  const u = found.units.indexOf(unit);
  return Array.from(found[of]!.subarray(u * found.runs, (u + 1) * found.runs));
}

/** What each unit gives in the first run. */
export function firstRun(found: ForecastRuns, of: 'exit' | 'ready' | 'pickedUp' = 'exit'): Record<string, number> {
  return Object.fromEntries(found.units.map((unit, u) => [unit, found[of]![u * found.runs]!]));
}

/** Exponential minutes of mean 1: entry i is the mean of the i-th of 2^bits equally likely parts, so that the table's mean is exact. */
export function exponentialTable(bits = 14): DrawTable {
  const count = 2 ** bits;
  // The integral of -ln(1 - u) over [a, b] is (1 - u) ln(1 - u) + u taken there.
  const integral = (u: number): number => (u >= 1 ? 1 : (1 - u) * Math.log(1 - u) + u);
  return Float64Array.from({ length: count }, (_, i) => count * (integral((i + 1) / count) - integral(i / count)));
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

export function standardDeviation(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1));
}
