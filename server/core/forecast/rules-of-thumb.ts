import type { Minutes } from '../units.ts';
import { percentileOfSorted } from './percentile.ts';

/** The first rule of thumb that a forecast is held against (definitions §6): stations left times pace, in working minutes. */
export function stationsTimesPace(stationsLeft: number, pace: Minutes): Minutes {
  return stationsLeft * pace;
}

/** The second: the sum of the recent medians of the stations left. Dwell minutes of each station's recent visits; a station without any adds nothing. */
export function sumOfMedians(recentDwell: readonly (readonly Minutes[])[]): Minutes {
  return recentDwell.reduce((sum, minutes) => sum + (minutes.length === 0 ? 0 : percentileOfSorted([...minutes].sort((a, b) => a - b), 0.5)), 0);
}
