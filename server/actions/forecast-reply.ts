import { type ClearByRow, compareWorst, type ForecastReply, type ForecastRow, type KeepKind } from '../contract/forecast.ts';
import { WANTED_PROBABILITY } from '../core/forecast/clear-by.ts';
import { joinedOutlooks } from '../core/forecast/load-outlook.ts';
import { offLineId, shortId } from '../core/forecast/input-of-material.ts';
import type { UnitOutlook } from '../core/forecast/line-forecast.ts';
import { LATE_THRESHOLD, standingOf } from '../core/late.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import type { KeptForecast } from '../store/forecasts/kept-forecast.ts';
import type { PlantMemory } from './plant-memory.ts';

/** The plant's threshold of being at risk and wanted probability of making a promise, as set at `at`. */
export function probabilitiesOf(memory: PlantMemory, at: Instant): { threshold: number; wanted: number } {
  const plant = setupAt(memory.setups, at)?.plant;
  return { threshold: plant?.lateThreshold ?? LATE_THRESHOLD, wanted: plant?.wantedProbability ?? WANTED_PROBABILITY };
}

/** The forecasts of a plant's lines, with what the memory knows of their units and holds. Units that were shipped or cancelled since are left out. */
export function forecastReply(memory: PlantMemory, kept: readonly KeptForecast[], at: Instant): ForecastReply {
  const { threshold, wanted } = probabilitiesOf(memory, at);
  const units = kept.flatMap(({ forecast }) => forecast.units.flatMap((unit) => rowOf(memory, forecast.line, unit, threshold, forecast.at)));
  const shorts = new Map(memory.shortItems().map(({ id, what }) => [shortId(id), what]));
  const clearBy = kept.flatMap(({ forecast }) => forecast.clearBy.map((row): ClearByRow => ({ ...row, ...whatKeeps(memory, shorts, row.unit, row.hold) })));
  return {
    made: Math.max(0, ...kept.map(({ forecast }) => forecast.at)), version: Math.max(0, ...kept.map(({ version }) => version)), runs: kept[0]?.forecast.runs ?? 0,
    factsAt: kept.reduce<Instant | null>((latest, { factsAt }) => (factsAt === null ? latest : Math.max(latest ?? 0, factsAt)), null),
    threshold, wanted, units: units.sort(compareWorst), clearBy: clearBy.sort((a, b) => (a.latest ?? 0) - (b.latest ?? 0)),
    // A forecast kept by an earlier version tells of no loads.
    loads: joinedOutlooks(kept.flatMap(({ forecast }) => forecast.loads ?? [])),
  };
}

function rowOf(memory: PlantMemory, line: string, unit: UnitOutlook, threshold: number, made: Instant): ForecastRow[] {
  const state = memory.units.get(unit.unit)?.state;
  if (!state || state.shipped !== null || state.cancelled !== null) return [];
  const { promise, p50, missing } = unit;
  const minutesLate = promise === null || p50 === null ? null : p50 <= promise ? 0 : memory.workingTime(line, null).workingBetween(promise, p50);
  return [{ ...unit, line, minutesLate, standing: standingOf(promise, state.released, missing, made, threshold) }];
}

function whatKeeps(memory: PlantMemory, shorts: ReadonlyMap<string, string>, unit: string, hold: string): { kind: KeepKind; what: string } {
  const missing = shorts.get(hold);
  if (missing !== undefined) return { kind: 'short', what: missing };
  const state = memory.units.get(unit)?.state;
  if (hold === offLineId(unit)) return { kind: 'offLine', what: state?.offLineReason ?? '' };
  return { kind: 'hold', what: state?.holds.find(({ id }) => id === hold)?.reason ?? '' };
}
