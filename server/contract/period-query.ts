import { mondayOf } from '../core/calendar/iso-week.ts';
import { addDays } from '../core/calendar/zone.ts';
import type { LocalDate } from '../core/units.ts';
import { localDate } from './shapes.ts';

export const PERIODS = ['week', 'weeks4', 'weeks12', 'days'] as const;
export type PeriodName = (typeof PERIODS)[number];

/** Days that a report is of. `from` and `to` count in `days` only, both days included; '' elsewhere. */
export interface PeriodQuery {
  period: PeriodName;
  from: LocalDate | '';
  to: LocalDate | '';
}

/** More days are not told at once. */
export const MOST_DAYS = 186;

export type Said = Readonly<Record<string, string | undefined>>;

/** Reads a report's period; `wrong` gets the name of what has a value that is not known. Both days given and no `period` mean those days. */
export function readPeriod(said: Said, wrong: string[]): PeriodQuery {
  const value = said['period'] ?? '';
  const named = PERIODS.find((one) => one === value);
  if (value !== '' && !named) wrong.push('period');
  const period = named ?? ((said['from'] ?? said['to'] ?? '') === '' ? 'weeks4' : 'days');
  if (period !== 'days') return { period, from: '', to: '' };
  const day = (name: 'from' | 'to'): LocalDate | '' => {
    const parsed = localDate.safeParse(said[name]);
    // Facts happen from 2000 until 2100 (shapes.ts).
    if (parsed.success && parsed.data.startsWith('20')) return parsed.data;
    wrong.push(name);
    return '';
  };
  const [from, to] = [day('from'), day('to')];
  if (from === '' || to === '') return { period: 'weeks4', from: '', to: '' };
  if (to < from || addDays(from, MOST_DAYS) <= to) wrong.push('to');
  return { period, from, to };
}

/** What stands in an address for the period; what is as by default is left out. */
export function writePeriod({ period, from, to }: PeriodQuery): Record<string, string> {
  if (period === 'days') return { from, to };
  return period === 'weeks4' ? {} : { period };
}

/** The days of the period on `today`, both included: whole weeks from their Monday, the running one to today. */
export function daysOf({ period, from, to }: PeriodQuery, today: LocalDate): { first: LocalDate; last: LocalDate } {
  if (period === 'days') return { first: from, last: to };
  const weeks = { week: 0, weeks4: 3, weeks12: 11 }[period];
  return { first: addDays(mondayOf(today), -7 * weeks), last: today };
}
