import { invariant } from '../invariant.ts';
import type { CompiledChances, CompiledSteps } from './compiled-line.ts';
import { constantTable, type DrawTable, residualTable } from './draw-table.ts';
import type { ForecastInput, ForecastStation, ForecastUnit } from './forecast-input.ts';
import { PURPOSE, streamKey } from './random.ts';
import type { TableStore } from './table-store.ts';

interface Step {
  station: number;
  table: DrawTable;
  scale: number;
  standing: boolean;
  key: [number, number];
  chances: Happening[];
}

interface Happening {
  purpose: number;
  mean: number;
  once: boolean;
  minutes: DrawTable;
}

/** Every visit that is still to be drawn, unit by unit along its route, with what may happen during it. */
export function compileSteps(input: ForecastInput, store: TableStore): { steps: CompiledSteps; chances: CompiledChances } {
  const first = new Int32Array(input.units.length + 1);
  const steps: Step[] = [];
  input.units.forEach((unit, u) => {
    if (unit.stage === null) for (let j = unit.here ? unit.reached : unit.reached + 1; j < unit.route.length; j++) steps.push(stepOf(input, unit, j));
    first[u + 1] = steps.length;
  });
  const chances = steps.flatMap((step) => step.chances);
  const firstChance = new Int32Array(steps.length + 1);
  steps.forEach((step, k) => (firstChance[k + 1] = firstChance[k]! + step.chances.length));
  return {
    steps: {
      ...store.draws(steps.map(({ table }) => table)), first, firstChance,
      station: Int32Array.from(steps, ({ station }) => station), scale: Float64Array.from(steps, ({ scale }) => scale), standing: Uint8Array.from(steps, ({ standing }) => Number(standing)),
      low: Uint32Array.from(steps, ({ key }) => key[0]), high: Uint32Array.from(steps, ({ key }) => key[1]),
    },
    chances: {
      ...store.draws(chances.map(({ minutes }) => minutes)), purpose: Uint8Array.from(chances, ({ purpose }) => purpose),
      mean: Float64Array.from(chances, ({ mean }) => mean), once: Uint8Array.from(chances, ({ once }) => Number(once)),
    },
  };
}

function stepOf(input: ForecastInput, unit: ForecastUnit, j: number): Step {
  const { station: code, standard } = unit.route[j]!;
  const station = input.stations.findIndex((candidate) => candidate.code === code);
  invariant(station >= 0, `no station ${code} on the line`);
  const { draws } = input.stations[station]!;
  const common = { station, key: streamKey(unit.unit, code) };
  const standing = unit.here && j === unit.reached;
  if (!standing) return { ...common, table: draws.ratios, scale: standard, standing, chances: chancesOf(draws, standard, 1) };
  if (unit.worked === null) return { ...common, table: constantTable(0), scale: 1, standing, chances: [] };
  const table = residualTable(Array.from(draws.ratios, (ratio) => ratio * standard), unit.worked);
  return { ...common, table, scale: 1, standing, chances: chancesOf(draws, standard, standard > 0 ? Math.min(1, mean(table) / standard) : 0) };
}

/** Chances of a visit of which `share` is still to come. Stops come as often as hours are worked; the mean of n holds that come at most once is -ln(1 - p). */
function chancesOf({ ratios, holds, stops, shorts }: ForecastStation['draws'], standard: number, share: number): Happening[] {
  const stopsExpected = stops.rate > 0 ? (stops.rate * share * standard * mean(ratios)) / 60 : 0;
  const once = (probability: number): number => -Math.log1p(-Math.min(probability * share, 0.999999));
  return [
    { purpose: PURPOSE.holds, mean: once(holds.rate), once: true, minutes: holds.minutes },
    { purpose: PURPOSE.stops, mean: stopsExpected, once: false, minutes: stops.minutes },
    { purpose: PURPOSE.shorts, mean: once(shorts.rate), once: true, minutes: shorts.minutes },
  ].filter((happening) => happening.mean > 0);
}

function mean(table: DrawTable): number {
  let sum = 0;
  for (const value of table) sum += value;
  return sum / table.length;
}
