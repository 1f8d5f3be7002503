import { quantileOfSorted } from '../rates/quantiles.ts';
import { createStageQueue } from './after-line.ts';
import type { CompiledLine } from './compiled-line.ts';
import { createPlainRuns } from './plain-runs.ts';
import { runAll } from './run.ts';
import { BLOCK, layOut } from './run-memory.ts';
import type { Runs } from './runs.ts';

/** The middle of when a unit is finished at a station. */
export interface FinishTime {
  unit: string;
  station: string;
  /** Minutes after the instant of the forecast: of the wall where `CompiledLine.wallClock`, else working minutes of the line. */
  minutes: number;
}

/**
 * When the units are finished at those of their stations ahead that are `wanted`: the first `runs` runs of the forecast with this `seed`, done again with
 * an ear on the numbers that pass there. A station's last minute is heard last: holds and stops that come on top of its work are in it.
 */
export function finishTimes(compiled: CompiledLine, seed: number, runs: number, wanted: ReadonlySet<string>): FinishTime[] {
  const { units, stations } = compiled;
  const places = stations.codes.flatMap((code, s) => (wanted.has(code) ? [s] : []));
  if (places.length === 0) return [];
  const at = layOut(compiled);
  const count = places.length;
  const told = new Float64Array(units.names.length * count * runs).fill(Number.NaN);
  const column = new Map(places.map((place, i) => [place, i]));
  const unitAt = new Map(Array.from(at.ready, (vector, u) => [vector, u]));
  const plain = createPlainRuns(at, seed);
  let part = 0;
  const hear = (vector: number, place: number): void => {
    const [u, i] = [unitAt.get(vector), column.get(place)];
    if (u === undefined || i === undefined) return;
    const from = part * BLOCK;
    told.set(at.doubles.subarray(vector, vector + Math.min(BLOCK, runs - from)), (u * count + i) * runs + from);
  };
  const heard: Runs = {
    ...plain,
    begin(next) {
      part = next;
      plain.begin(next);
    },
    advance(ready, free, leave, stream, place) {
      plain.advance(ready, free, leave, stream, place);
      hear(ready, place);
    },
    add(to, minutes, place) {
      plain.add(to, minutes, place);
      hear(to, place);
    },
    addOnCalendar(to, minutes, calendar, place) {
      plain.addOnCalendar(to, minutes, calendar, place);
      hear(to, place);
    },
    happen(to, stream, mean, once, place) {
      plain.happen(to, stream, mean, once, place);
      hear(to, place);
    },
  };
  runAll(compiled, at, heard, createStageQueue(at.doubles, units.names.length), seed, runs, () => {});
  return units.names.flatMap((unit, u) => places.flatMap((place, i): FinishTime[] => {
    const own = told.slice((u * count + i) * runs, (u * count + i + 1) * runs).sort();
    return Number.isNaN(own[0]!) ? [] : [{ unit, station: stations.codes[place]!, minutes: quantileOfSorted(own, 0.5) }];
  }));
}
