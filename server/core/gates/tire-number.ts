/** What is wrong with a tyre identification number. `date`: no week of any year. */
export type TireNumberFault = 'length' | 'sign' | 'date';

/** Letters that no such number has are G I O Q S Z (from memory: 49 CFR 574.5). */
const SIGNS = /^[A-FHJ-NPRT-Y0-9]+$/;
/** 13 signs of a new tyre since 2015, 7 of a retread; older ones on hand show 8 to 12 (49 CFR 574.5, 80 FR 19553; 64 FR 36807 for the four digits of the date). */
const LENGTHS: readonly number[] = [7, 8, 9, 10, 11, 12, 13];
const MS_PER_DAY = 86_400_000;
const CENTURY = 2_000;

/** The number in capitals, without the letters DOT before it and without spaces. */
export function tireNumberIn(said: string): string {
  return said.toUpperCase().replaceAll(/[\s-]/g, '').replace(/^DOT/, '');
}

/** The first thing that is wrong with a number as `tireNumberIn` gives it, or null. That it is right in form proves no tyre. */
export function tireNumberFault(number: string): TireNumberFault | null {
  if (!LENGTHS.includes(number.length)) return 'length';
  if (!SIGNS.test(number)) return 'sign';
  const date = /(\d\d)(\d\d)$/.exec(number);
  return date && weekExists(Number(date[1]), CENTURY + Number(date[2])) ? null : 'date';
}

/** Week 01 is the first full one, from Sunday to Saturday (from memory): a year has as many weeks as it has Sundays. */
function weekExists(week: number, year: number): boolean {
  const weekday = new Date(Date.UTC(year, 0, 1)).getUTCDay();
  const firstSunday = (7 - weekday) % 7;
  const days = (Date.UTC(year + 1, 0, 1) - Date.UTC(year, 0, 1)) / MS_PER_DAY;
  return week >= 1 && week <= Math.ceil((days - firstSunday) / 7);
}
