import { workingTimeOf } from '../core/calendar/working-time.ts';
import type { UnitChange } from '../core/forecast/compare.ts';
import { comparePlans, type WayBack, waysBack } from '../core/forecast/compare-plans.ts';
import type { ForecastMaterial } from '../core/forecast/forecast-material.ts';
import { type ForecastWish, lineForecast, type LineForecast } from '../core/forecast/line-forecast.ts';
import type { PlanChange } from '../core/forecast/plan-change.ts';
import { type ForecastScores, scoreForecasts } from '../core/forecast/scored-forecasts.ts';
import type { SetupVersion } from '../core/setup/plant.ts';
import type { FloorTime } from '../core/timeline/line-history.ts';
import type { Instant } from '../core/units.ts';

/** What another thread tells a forecast from; the visits are still text. */
export interface PostedMaterial {
  material: Omit<ForecastMaterial, 'visits'>;
  visits: string;
}

export function readMaterial({ material, visits }: PostedMaterial): ForecastMaterial {
  return { ...material, visits: JSON.parse(visits) as ForecastMaterial['visits'] };
}

export function lineForecastOf({ posted, wish }: { posted: PostedMaterial; wish: ForecastWish }): LineForecast | null {
  return lineForecast(readMaterial(posted), wish);
}

export function comparedPlansOf({ posted, changes, seed }: { posted: PostedMaterial; changes: PlanChange[]; seed: number }): UnitChange[] | null {
  return comparePlans(readMaterial(posted), changes, seed);
}

export function waysBackOf({ posted, unit, seed, wanted }: { posted: PostedMaterial; unit: string; seed: number; wanted: number }): WayBack[] | null {
  return waysBack(readMaterial(posted), unit, seed, wanted);
}

export interface KeptToScore {
  /** Kept forecasts as the text of a JSON list. */
  kept: string;
  ready: [string, Instant][];
  line: string;
  setups: SetupVersion[];
  floorTime: FloorTime[];
  at: Instant;
}

export function forecastScoresOf({ kept, ready, line, setups, floorTime, at }: KeptToScore): { kept: number; scores: ForecastScores[] } {
  const forecasts = JSON.parse(kept) as LineForecast[];
  const time = workingTimeOf(setups, { line, station: null }, floorTime);
  const shift = time.shiftsBetween(at - 14 * 86_400_000, at)[0];
  const dayMinutes = shift ? time.workingBetween(shift.start, shift.start + 86_400_000) : 480;
  return { kept: forecasts.length, scores: scoreForecasts(forecasts, new Map(ready), time, Math.max(1, dayMinutes)) };
}
