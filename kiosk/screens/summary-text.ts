import type { Named } from '../../server/contract/shift-summary.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { locale, t } from '../words/catalogue.ts';

/** Figures, ages and times of the shift summary in the reader's language and the plant's zone. */
export interface SummaryText {
  /** An instant by the clock alone on the day that the page is of, else with its day. */
  time(at: number): string;
  /** An instant with its day, always. */
  dayAndTime(at: number): string;
  date(day: string): string;
  month(day: string): string;
  /** Minutes, or hours and minutes from two hours on. */
  age(minutes: number): string;
  /** Whole units as they are, planned ones to one place. */
  units(n: number): string;
  /** Whole minutes; what rounds to nothing is 0, never -0. */
  minutes(n: number): string;
  share(of: number): string;
}

/** `of` is the instant that the page is told at. */
export function summaryText(zone: string, of: number): SummaryText {
  const time = new Intl.DateTimeFormat(locale(), { timeZone: zone, weekday: 'short', day: 'numeric', month: 'short', hour: 'numeric', minute: '2-digit' });
  const clock = new Intl.DateTimeFormat(locale(), { timeZone: zone, hour: 'numeric', minute: '2-digit' });
  const today = localOf(zone, of).date;
  const date = new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', weekday: 'long', day: 'numeric', month: 'long', year: 'numeric' });
  const month = new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', month: 'long' });
  const figure = (digits: number): Intl.NumberFormat => new Intl.NumberFormat(locale(), { maximumFractionDigits: digits, signDisplay: 'negative' });
  const [whole, tenths, percent] = [figure(0), figure(1), new Intl.NumberFormat(locale(), { style: 'percent', maximumFractionDigits: 0 })];
  return {
    time: (at) => (localOf(zone, at).date === today ? clock : time).format(at), dayAndTime: (at) => time.format(at), date: (day) => date.format(Date.parse(day)), month: (day) => month.format(Date.parse(day)),
    age: (minutes) => {
      const n = Math.max(0, Math.floor(minutes));
      return n < 120 ? t('minutes.short', { n }) : t('summary.hours', { h: Math.floor(n / 60), m: n % 60 });
    },
    units: (n) => tenths.format(n), minutes: (n) => whole.format(n).replace('-', '−'), share: (of) => percent.format(of),
  };
}

/** A station as the plant calls it, behind its code. */
export function stationText(place: Named | null): string {
  if (place === null) return '';
  return place.name === place.code ? place.code : `${place.code} ${place.name}`;
}
