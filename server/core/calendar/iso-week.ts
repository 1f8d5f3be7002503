import type { LocalDate } from '../units.ts';
import { addDays } from './zone.ts';

const MS_PER_DAY = 86_400_000;

/** A week of ISO 8601, `2026-W23`: Monday to Sunday, in the year that holds its Thursday. */
export type IsoWeek = string;

export function isoWeekOf(date: LocalDate): IsoWeek {
  const thursday = addDays(mondayOf(date), 3);
  const year = thursday.slice(0, 4);
  const dayOfYear = (Date.parse(thursday) - Date.parse(`${year}-01-01`)) / MS_PER_DAY;
  return `${year}-W${String(Math.floor(dayOfYear / 7) + 1).padStart(2, '0')}`;
}

/** The Monday of the week that `date` lies in. */
export function mondayOf(date: LocalDate): LocalDate {
  return addDays(date, -((new Date(`${date}T00:00:00Z`).getUTCDay() + 6) % 7));
}
