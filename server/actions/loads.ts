import type { ForecastReply } from '../contract/forecast.ts';
import type { LoadsReply } from '../contract/loads.ts';
import { loadsReport } from '../core/loads/loads-report.ts';
import type { Instant } from '../core/units.ts';
import type { PlantMemory } from './plant-memory.ts';

/** The loads of the plant as its memory has them, with what `forecast` tells of them. */
export function plantLoads(memory: PlantMemory, forecast: ForecastReply, at: Instant): LoadsReply {
  const middles = new Map(forecast.units.map(({ unit, p50 }) => [unit, p50]));
  const states = [...memory.units.values()].map(({ state }) => state);
  return { at, version: memory.version, made: forecast.made, loads: loadsReport(states, memory.loads, forecast.loads, (unit) => middles.get(unit) ?? null, at) };
}
