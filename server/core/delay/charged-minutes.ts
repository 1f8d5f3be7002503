import { type IsoWeek, isoWeekOf } from '../calendar/iso-week.ts';
import type { LineHistory } from '../timeline/line-history.ts';
import type { Minutes } from '../units.ts';
import type { DelayCause } from './line-delay.ts';
import type { ShiftDelay } from './line-delay-by-shift.ts';

/** Line minutes of one cause (definitions §5), with what a report tells apart. */
export interface Charge {
  /** '' where it is no one station's, such as a roll of a whole line. */
  station: string;
  /** '' where it is no one unit's, or its model is unknown. */
  model: string;
  shift: string;
  week: IsoWeek;
  cause: DelayCause;
  minutes: Minutes;
}

/** What every cause in these shifts cost the line; together the line delay of the shifts. */
export function chargedMinutes(history: LineHistory, shifts: readonly ShiftDelay[]): Charge[] {
  const models = new Map(history.units.map(({ unit, model }) => [unit, model]));
  return shifts.flatMap(({ date, shift, delay }) => delay.causes.map((cause): Charge => ({
    station: cause.station ?? '', model: cause.unit === null ? '' : (models.get(cause.unit) ?? ''), shift, week: isoWeekOf(date), cause, minutes: cause.lineMinutes,
  })));
}
