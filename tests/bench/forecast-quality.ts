import { PARTS } from '../../server/core/forecast/ensemble.ts';
import { type ForecastScores, scoreForecasts } from '../../server/core/forecast/scored-forecasts.ts';
import { backtest } from '../support/backtest.ts';
import { MONDAY } from '../support/given.ts';
import { simulatePlant, type TruePlant } from '../support/simulated-plant.ts';
import type { BenchResult } from './run.ts';

const STATIONS = 12;
const DAY = 450;
/** Forecasts begin when five weeks of five days are behind, and are made every day and a half at changing times of the day. */
const [FIRST_DAY, MADE, EVERY_DAYS] = [25, 26, 1.5];

const plain: TruePlant = {
  standard: Array.from({ length: STATIONS }, (_, i) => 40 + ((i * 7) % 5)), factor: Array.from({ length: STATIONS }, () => 1), spread: 0.18, capacity: Array.from({ length: STATIONS }, () => 1),
  pace: 62, roll: 'asReady', holdRate: 0.02, holdMean: 30, stopEvery: 3_000, stopMean: 18, pullRate: 0.002, shortRate: 0.006, ramp: 0, inspection: [38, 40, 36], touchUpMean: 60, releaseMean: 60, days: 75,
};
const slower = (station: number, factor: number): number[] => plain.factor.map((one, i) => (i === station ? factor : one));

/** What the forecasts are not told and have to find out from the facts. */
const PLANTS: Record<string, TruePlant> = {
  bottleneckEarly: { ...plain, factor: slower(2, 1.11) },
  bottleneckLate: { ...plain, factor: slower(9, 1.11) },
  manyHolds: { ...plain, holdRate: 0.08, holdMean: 45, pace: 76 },
  rampUp: { ...plain, ramp: 0.6, pace: 64 },
  together: { ...plain, roll: 'together', pace: 74 },
  offStandard: { ...plain, factor: plain.factor.map((_, i) => 0.8 + 0.05 * (i % 5)), pace: 56, pullRate: 0.006 },
};

interface Told { scores: ForecastScores; coverageError: number; skillError: { pace: number; medians: number } }

/**
 * Forecasts of six simulated plants made as of each instant from the facts until then, held against what then happened; more than 400 of each plant. Standard errors
 * are those of the means over the instants at which they were made, for units of one instant wait for each other.
 */
export function forecastQualityBench(): Promise<BenchResult> {
  const told = Object.entries(PLANTS).map(([name, plan], i) => [name, scoresOfPlant(plan, 11 + i)] as const);
  const figures: Record<string, number> = {};
  const round = (value: number): number => Math.round(value * 1_000) / 1_000;
  for (const [name, { scores, coverageError, skillError }] of told) {
    figures[`${name}Forecasts`] = scores.forecasts;
    figures[`${name}Units`] = scores.units;
    figures[`${name}Coverage`] = round(scores.coverage);
    figures[`${name}CoverageError`] = round(coverageError);
    figures[`${name}Crps`] = round(scores.crps);
    figures[`${name}SkillOverPace`] = round(scores.skillOverPace);
    figures[`${name}SkillOverPaceError`] = round(skillError.pace);
    figures[`${name}SkillOverMedians`] = round(scores.skillOverMedians);
    figures[`${name}SkillOverMediansError`] = round(skillError.medians);
  }
  const worst = Math.min(...told.map(([, { scores }]) => scores.skillOverPace));
  const holds = told.every(([, { scores }]) => scores.forecasts >= 400 && scores.coverage >= 0.75 && scores.coverage <= 0.85 && scores.skillOverPace >= 0.4 && scores.skillOverMedians > 0.1);
  return Promise.resolve({
    name: 'forecast-quality', figures, ratio: round(worst), holds,
    comparedWith: 'stations left × pace, and the sum of recent medians, on six simulated plants whose parameters the forecast is not told; ratio = the least skill over the first; holds: coverage of the 80 % interval 0.75 to 0.85, skill ≥ 0.4 and > 0.1',
  });
}

function scoresOfPlant(plan: TruePlant, seed: number): Told {
  const { setups, time, facts } = simulatePlant(plan, seed);
  const instants = Array.from({ length: MADE }, (_, i) => time.addWorking(MONDAY, (FIRST_DAY + i * EVERY_DAYS) * DAY + ((i * 37) % 200)));
  const { forecasts, released } = backtest(setups, facts, instants, PARTS);
  const scores = scoreForecasts(forecasts, released, time, DAY)[0]!;
  const each = forecasts.flatMap((forecast) => scoreForecasts([forecast], released, time, DAY).slice(0, 1));
  return {
    scores, coverageError: errorOfMean(each.map(({ coverage }) => coverage)),
    // Of a ratio of sums: the error of what is left when the ratio found is put in.
    skillError: { pace: ratioError(each.map(({ crps, byPace }) => [crps, byPace])), medians: ratioError(each.map(({ crps, byMedians }) => [crps, byMedians])) },
  };
}

function errorOfMean(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1) / values.length);
}

function ratioError(pairs: readonly (readonly [number, number])[]): number {
  const below = pairs.reduce((sum, [, b]) => sum + b, 0) / pairs.length;
  const ratio = pairs.reduce((sum, [a]) => sum + a, 0) / pairs.length / below;
  return errorOfMean(pairs.map(([a, b]) => (a - ratio * b) / below));
}
