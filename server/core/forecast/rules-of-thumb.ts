import { quantile } from '../rates/quantiles.ts';
import type { Minutes } from '../units.ts';
import { AFTER_LINE } from './after-line-codes.ts';
import type { RecentVisit } from './draws-from-history.ts';
import type { ForecastUnit } from './forecast-input.ts';
import type { LineInput } from './input-of-material.ts';

/** The first rule of thumb that a forecast is held against (definitions §6): stations left times pace, in working minutes. */
export function stationsTimesPace(stationsLeft: number, pace: Minutes): Minutes {
  return stationsLeft * pace;
}

/** The second: the sum of the recent medians of the stations left. Dwell minutes of each station's recent visits; a station without any adds nothing. */
export function sumOfMedians(recentDwell: readonly (readonly Minutes[])[]): Minutes {
  return recentDwell.reduce((sum, minutes) => sum + (minutes.length === 0 ? 0 : quantile(minutes, 0.5)), 0);
}

/** What both rules say of each unit: working minutes of the line until it is ready to ship. */
export type RuleMinutes = ReadonlyMap<string, { pace: Minutes; medians: Minutes }>;

/**
 * A unit that is to be released has its planned release before it, else one pace after the unit before. Touch-up and release count as a station each, so that
 * the rules speak of being ready to ship as the forecast does; what a unit has spent where it stands is taken off its median there.
 */
export function rulesOfThumb({ input, after }: LineInput, visits: readonly RecentVisit[]): RuleMinutes {
  const dwell = new Map<string, Minutes[]>();
  for (const visit of visits) if (!visit.notScanned) dwell.set(visit.station, [...(dwell.get(visit.station) ?? []), visit.dwell]);
  dwell.set(AFTER_LINE.touchUp, after.learnt.touchUp);
  dwell.set(AFTER_LINE.release, after.learnt.release);
  let released = input.lastRelease ?? -input.pace;
  return new Map(input.units.map((unit) => {
    const coming = unit.stage === null && unit.reached < 0;
    if (coming) released = Math.max(0, unit.plannedRelease ?? released + input.pace);
    const wait = coming ? released : 0;
    const left = placesLeft(unit, input.stages.map(({ code }) => code));
    const spent = unit.stage?.standing ? unit.stage.worked : (unit.worked ?? 0);
    const [first, ...others] = left.map((code) => dwell.get(code) ?? []);
    const medians = first === undefined ? 0 : Math.max(0, sumOfMedians([first]) - spent) + sumOfMedians(others);
    return [unit.unit, { pace: wait + stationsTimesPace(left.length, input.pace), medians: wait + medians }];
  }));
}

/** Stations and stages that the unit still has before it until it is ready to ship, where it stands among them. */
function placesLeft({ route, reached, here, stage, ofStages }: ForecastUnit, stages: readonly string[]): string[] {
  const from = stage === null ? 0 : stages.indexOf(stage.code);
  const passed = stages.slice(from, stages.indexOf(AFTER_LINE.release) + 1).filter((code) => code !== AFTER_LINE.offLine && (ofStages?.[code]?.probability ?? 1) > 0);
  return [...(stage === null ? route.slice(here ? reached : reached + 1).map(({ station }) => station) : []), ...passed];
}
