import { describe, expect, it } from 'vitest';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { drawTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastInput } from '../../../server/core/forecast/forecast-input.ts';
import { quantileOfSorted } from '../../../server/core/rates/quantiles.ts';
import { run } from '../../../server/core/forecast/run.ts';
import { stationsTimesPace } from '../../../server/core/forecast/rules-of-thumb.ts';
import { brierScore, coverage, coverageBand, crpsEnsemble, intervalScore, pinballLoss, skill } from '../../../server/core/forecast/score.ts';
import { forecastInput, forecastStage, forecastStation, forecastUnit, mean, runsOf, working } from '../../support/given-forecast.ts';

const DAYS = 400;
const RUNS = 600;
const RATIOS = drawTable([0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.5, 2.4]);

/** A line of five stations that is half full, with holds and an inspection after it. Each day stands for itself: names of its own, so draws of its own. */
function lineOfDay(day: number): ForecastInput {
  const draws = { ...working(RATIOS), holds: { rate: 0.1, minutes: drawTable([15, 40, 120]) } };
  const stations = ['S1', 'S2', 'S3', 'S4', 'S5'].map((code, i) => forecastStation(code, { capacity: i === 2 ? 2 : 1, draws }));
  const standards = Object.fromEntries(stations.map(({ code }, i) => [code, 25 + 3 * i]));
  const standing = [4, 2, 0].map((reached, i) => forecastUnit(`${day}-A${i}`, standards, { reached, here: true, worked: 0 }));
  const coming = [30, 60].map((plannedRelease, i) => forecastUnit(`${day}-B${i}`, standards, { plannedRelease }));
  return forecastInput(stations, [...standing, ...coming], { stages: [forecastStage('PDI', { capacity: 1, minutes: drawTable([20, 25, 40]) })] });
}

/** What was forecast of the last unit, and what then happened: one run under another seed. */
const days = Array.from({ length: DAYS }, (_, day) => {
  const compiled = compileLine(lineOfDay(day));
  const unit = compiled.units.names.at(-1)!;
  return { members: runsOf(run(compiled, 1, RUNS), unit, 'ready').sort((a, b) => a - b), seen: runsOf(run(compiled, 2, 1), unit, 'ready')[0]! };
});

describe('a forecast of a line that works as its history says', () => {
  it('holds what happens in its 80 % interval as often as it says', () => {
    const intervals = days.map(({ members, seen }) => ({ low: quantileOfSorted(members, 0.1), high: quantileOfSorted(members, 0.9), seen }));
    const { low, high } = coverageBand(DAYS, 0.8);
    const hits = coverage(intervals) * DAYS;
    expect(hits).toBeGreaterThanOrEqual(low);
    expect(hits).toBeLessThanOrEqual(high);
  });

  it('sees what happens fall evenly over its tenths', () => {
    // Chi-square with 9 degrees of freedom: 27.88 at 0.1 %. Ties are shared out by the rank of the first of them.
    const counts = Array.from({ length: 10 }, () => 0);
    for (const { members, seen } of days) counts[Math.min(9, Math.floor((members.filter((member) => member < seen).length / RUNS) * 10))]!++;
    expect(counts.reduce((sum, count) => sum + (count - DAYS / 10) ** 2 / (DAYS / 10), 0)).toBeLessThan(27.88);
  });

  it('is better than the first rule of thumb, in every score', () => {
    // Six stations and stages left, and 60 minutes until the release, at pace 30.
    const thumb = 60 + stationsTimesPace(6, 30);
    const crps = mean(days.map(({ members, seen }) => crpsEnsemble(members, seen)));
    expect(skill(crps, mean(days.map(({ seen }) => Math.abs(seen - thumb))))).toBeGreaterThan(0.2);
    const pinball = (level: number, of: (members: number[]) => number): number => mean(days.map(({ members, seen }) => pinballLoss(of(members), seen, level)));
    for (const level of [0.1, 0.5, 0.8, 0.9]) expect(pinball(level, (members) => quantileOfSorted(members, level))).toBeLessThan(pinball(level, () => thumb));
  });

  it('is better than the same forecast made narrower, wider, earlier or later', () => {
    const score = (stretch: number, shift: number): number => mean(days.map(({ members, seen }) => {
      const middle = quantileOfSorted(members, 0.5);
      const moved = (level: number): number => middle + shift + stretch * (quantileOfSorted(members, level) - middle);
      return intervalScore(moved(0.1), moved(0.9), seen, 0.2);
    }));
    for (const [stretch, shift] of [[0.4, 0], [2, 0], [1, -80], [1, 80]] as const) expect(score(1, 0)).toBeLessThan(score(stretch, shift));
  });

  it('says a probability of missing a promise that comes true as often, better than the base rate', () => {
    const promises = days.map((_, day) => 300 + ((day * 37) % 200));
    const missed = days.map(({ seen }, day) => seen > promises[day]!);
    const told = days.map(({ members }, day) => members.filter((member) => member > promises[day]!).length / RUNS);
    const baseRate = mean(missed.map(Number));
    expect(skill(brierScore(told, missed), brierScore(told.map(() => baseRate), missed))).toBeGreaterThan(0.05);
    // The sum of independent events is within 4.5 standard deviations of the sum of their probabilities.
    const deviation = Math.sqrt(told.reduce((sum, p) => sum + p * (1 - p), 0));
    expect(Math.abs(missed.filter(Boolean).length - told.reduce((sum, p) => sum + p, 0))).toBeLessThan(4.5 * deviation);
  });
});
