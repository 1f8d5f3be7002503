import type { WorkingTime } from '../calendar/working-time.ts';
import { quantileOfSorted } from '../rates/quantiles.ts';
import { setupAt } from '../setup/setup-at.ts';
import { type Instant, type Minutes, MS_PER_MINUTE } from '../units.ts';
import { type ClearBy, clearBy } from './clear-by.ts';
import type { CompiledLine } from './compiled-line.ts';
import { criticalShares, MOST_STATIONS } from './critical-path.ts';
import { ensembleOf, PARTS, runEnsemble } from './ensemble.ts';
import { finishTimes } from './finish-times.ts';
import type { ForecastMaterial } from './forecast-material.ts';
import { type LoadOutlook, loadOutlooks } from './load-outlook.ts';
import { rulesOfThumb } from './rules-of-thumb.ts';
import type { ForecastRuns } from './run.ts';
import { summarize, type UnitForecast } from './summary.ts';

/** Runs for what takes many forecasts, or many steps of one: the critical path, clear by. */
export const SIDE_RUNS = 512;
/** Instants are kept at 5 %, 10 % … 95 %, for scoring. */
export const KEPT_LEVELS: readonly number[] = Array.from({ length: 19 }, (_, i) => (i + 1) / 20);
const LEAST_SHARE = 0.1;
/** Each takes a dozen forecasts: of so many holds it is told by when they must be cleared, those of the earliest promises first. */
const MOST_HOLDS = 40;

/** The middle of when a unit is finished at a station that covers zones of it, and the working minutes of the line from the forecast until then (definitions §8). */
export interface CoveringOutlook {
  station: string;
  at: Instant;
  minutes: Minutes;
}

/** What is forecast of one unit (definitions §6). Instants are null where the calendars end before. */
export interface UnitOutlook extends Omit<UnitForecast, 'p10' | 'p50' | 'p80' | 'p90'> {
  p10: Instant | null;
  p50: Instant | null;
  p80: Instant | null;
  p90: Instant | null;
  /** The end of the promised day. */
  promise: Instant | null;
  /** Ready to ship at `KEPT_LEVELS`. */
  levels: (Instant | null)[];
  /** The middle of when it is picked up. */
  pickedUp: Instant | null;
  /** Stations and stages on its critical path in at least a tenth of the runs, the most often first. */
  critical: { code: string; share: number }[];
  /** At its stations ahead that cover zones, in the order of the line. Forecasts kept by an earlier version do not tell. */
  covering?: CoveringOutlook[];
  /** What the rules of thumb say. */
  byPace: Instant | null;
  byMedians: Instant | null;
}

/** The forecast of a main line as made at `at`: a function of what was known then, the seed, and the wanted probability. */
export interface LineForecast {
  line: string;
  at: Instant;
  seed: number;
  runs: number;
  /** In the order of coming. */
  units: UnitOutlook[];
  clearBy: ClearBy[];
  /** Of the loads with a unit of this line. */
  loads: LoadOutlook[];
}

export interface ForecastWish {
  seed: number;
  /** Probability wanted of making the promise. */
  wanted: number;
  /** Tellings of the history, 512 runs each. */
  parts?: number;
  /** Leaves out the critical path and clear-by, which take the most time. */
  timesOnly?: boolean;
}

/** Null when the set-up has no such line. */
export function lineForecast(material: ForecastMaterial, { seed, wanted, parts = PARTS, timesOnly = false }: ForecastWish): LineForecast | null {
  const ensemble = ensembleOf(material, seed, undefined, parts);
  if (!ensemble) return null;
  const { told, members } = ensemble;
  const { at } = material;
  const compiled = members[0]!;
  const found = runEnsemble(members, seed);
  const critical = timesOnly ? new Map<string, UnitOutlook['critical']>() : criticalOf(compiled, seed);
  const covering = timesOnly ? new Map<string, CoveringOutlook[]>() : coveringOf(compiled, material, told.time, seed);
  const rules = rulesOfThumb(told, material.visits);
  const released = new Map(material.afterLine.map((unit) => [unit.unit, unit.released]));
  const after = (minutes: number): Instant | null => finite(told.time.addWorking(at, minutes));
  const units = summarize(compiled, found).map((summary, u): UnitOutlook => {
    const { unit } = summary;
    const { promise } = told.input.units[u]!;
    const done = released.get(unit) ?? null;
    const ready = (t: Instant): Instant | null => done ?? finite(t);
    const { pace, medians } = rules.get(unit)!;
    return {
      unit, promise, missing: done === null || promise === null ? summary.missing : Number(done > promise),
      p10: ready(summary.p10), p50: ready(summary.p50), p80: ready(summary.p80), p90: ready(summary.p90), levels: levelsOf(found, u, at).map(ready),
      pickedUp: finite(at + Math.round(middleOf(found, u) * MS_PER_MINUTE)), critical: critical.get(unit) ?? [], covering: covering.get(unit) ?? [], byPace: done ?? after(pace), byMedians: done ?? after(medians),
    };
  });
  return {
    line: material.history.line, at, seed, runs: found.runs, units, clearBy: timesOnly ? [] : clearBy(compiled, seed, SIDE_RUNS, wanted, MOST_HOLDS),
    loads: loadOutlooks(material.loads, found, released, at),
  };
}

function levelsOf({ ready, runs }: ForecastRuns, u: number, at: Instant): Instant[] {
  const sorted = ready.slice(u * runs, (u + 1) * runs).sort();
  return KEPT_LEVELS.map((level) => at + Math.round(quantileOfSorted(sorted, level) * MS_PER_MINUTE));
}

function middleOf({ pickedUp, ready, runs }: ForecastRuns, u: number): number {
  return quantileOfSorted((pickedUp ?? ready).slice(u * runs, (u + 1) * runs).sort(), 0.5);
}

function criticalOf(compiled: CompiledLine, seed: number): Map<string, UnitOutlook['critical']> {
  if (compiled.stations.codes.length > MOST_STATIONS) return new Map();
  const { codes, shares } = criticalShares(compiled, seed, SIDE_RUNS);
  return new Map(compiled.units.names.map((unit, u) => {
    const own = codes.map((code, s) => ({ code, share: shares[u * codes.length + s]! })).filter(({ share }) => share >= LEAST_SHARE);
    return [unit, own.sort((a, b) => b.share - a.share)];
  }));
}

function coveringOf(compiled: CompiledLine, { history, at }: ForecastMaterial, time: WorkingTime, seed: number): Map<string, CoveringOutlook[]> {
  const line = setupAt(history.setups, at)?.plant.lines.find(({ code }) => code === history.line);
  const covers = new Set(line?.stations.flatMap(({ code, covers: zones = [] }) => (zones.length > 0 ? [code] : [])));
  const byUnit = new Map<string, CoveringOutlook[]>();
  for (const { unit, station, minutes } of finishTimes(compiled, seed, SIDE_RUNS, covers)) {
    const then = compiled.wallClock ? at + Math.round(minutes * MS_PER_MINUTE) : time.addWorking(at, minutes);
    if (!Number.isFinite(then)) continue;
    byUnit.set(unit, [...(byUnit.get(unit) ?? []), { station, at: then, minutes: compiled.wallClock ? time.workingBetween(at, then) : minutes }]);
  }
  return byUnit;
}

const finite = (t: Instant): Instant | null => (Number.isFinite(t) ? t : null);
