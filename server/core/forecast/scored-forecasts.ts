import type { WorkingTime } from '../calendar/working-time.ts';
import type { Instant, Minutes } from '../units.ts';
import { KEPT_LEVELS, type LineForecast, type UnitOutlook } from './line-forecast.ts';
import { coverage, pinballLoss, skill } from './score.ts';

/** How good forecasts of units were that were so many working days ahead. Scores in working minutes of the line. */
export interface ForecastScores {
  /** Whole working days from the forecast to the middle of what it said; null: all together. */
  daysAhead: number | null;
  /** Forecasts of a unit, and how many different units they were of. */
  forecasts: number;
  units: number;
  /** Share of the 80 % intervals that held what happened, and of those too early or too late. */
  coverage: number;
  tooEarly: number;
  tooLate: number;
  pinball: { p10: Minutes; p50: Minutes; p80: Minutes; p90: Minutes };
  crps: Minutes;
  /** Mean error of the two rules of thumb: for a point the continuous ranked probability score is that. */
  byPace: Minutes;
  byMedians: Minutes;
  skillOverPace: number;
  skillOverMedians: number;
}

/** One forecast of a unit against when it was ready to ship, in working minutes after it was made. */
interface Scored {
  unit: string;
  ahead: Minutes;
  seen: Minutes;
  levels: Minutes[];
  byPace: Minutes;
  byMedians: Minutes;
}

/** Days from which on all are told together. */
const MOST_DAYS = 8;

/**
 * Kept forecasts held against what happened (definitions §6), all together and by days ahead. Units whose calendars ended before, and those already ready when a forecast
 * was made, are left out. The score of 19 quantiles stands for the continuous ranked probability score: twice their mean pinball loss.
 */
export function scoreForecasts(forecasts: readonly LineForecast[], ready: ReadonlyMap<string, Instant>, time: WorkingTime, dayMinutes: Minutes): ForecastScores[] {
  const scored = forecasts.flatMap((forecast) => forecast.units.flatMap((unit) => against(forecast.at, unit, ready.get(unit.unit), time)));
  const days = new Map<number, Scored[]>();
  for (const one of scored) {
    const ahead = Math.min(MOST_DAYS, Math.floor(one.ahead / dayMinutes));
    days.set(ahead, [...(days.get(ahead) ?? []), one]);
  }
  if (scored.length === 0) return [];
  return [scoresOf(null, scored), ...[...days].sort(([a], [b]) => a - b).map(([ahead, own]) => scoresOf(ahead, own))];
}

function against(at: Instant, { unit, levels, byPace, byMedians }: UnitOutlook, ready: Instant | undefined, time: WorkingTime): Scored[] {
  if (ready === undefined || ready <= at || byPace === null || byMedians === null) return [];
  const known = levels.filter((level) => level !== null);
  if (known.length < KEPT_LEVELS.length) return [];
  const after = (t: Instant): Minutes => time.workingBetween(at, t);
  const told = known.map(after);
  return [{ unit, ahead: told[9]!, seen: after(ready), levels: told, byPace: after(byPace), byMedians: after(byMedians) }];
}

function scoresOf(daysAhead: number | null, scored: readonly Scored[]): ForecastScores {
  const mean = (of: (one: Scored) => number): number => scored.reduce((sum, one) => sum + of(one), 0) / scored.length;
  const at = (level: number) => (one: Scored): Minutes => pinballLoss(one.levels[KEPT_LEVELS.indexOf(level)]!, one.seen, level);
  const [low, high] = [KEPT_LEVELS.indexOf(0.1), KEPT_LEVELS.indexOf(0.9)];
  const crps = mean(({ levels, seen }) => (2 * KEPT_LEVELS.reduce((sum, level, i) => sum + pinballLoss(levels[i]!, seen, level), 0)) / KEPT_LEVELS.length);
  const [byPace, byMedians] = [mean((one) => Math.abs(one.byPace - one.seen)), mean((one) => Math.abs(one.byMedians - one.seen))];
  return {
    daysAhead, forecasts: scored.length, units: new Set(scored.map(({ unit }) => unit)).size,
    coverage: coverage(scored.map(({ levels, seen }) => ({ low: levels[low]!, high: levels[high]!, seen }))),
    tooEarly: mean(({ levels, seen }) => Number(seen > levels[high]!)), tooLate: mean(({ levels, seen }) => Number(seen < levels[low]!)),
    pinball: { p10: mean(at(0.1)), p50: mean(at(0.5)), p80: mean(at(0.8)), p90: mean(at(0.9)) },
    crps, byPace, byMedians, skillOverPace: skill(crps, byPace), skillOverMedians: skill(crps, byMedians),
  };
}
