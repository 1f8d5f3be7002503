/** Signs of the model year in position 10, in their order from 1980 on; after 30 they begin anew (49 CFR 565.15, Table VI). */
const YEAR_SIGNS = 'ABCDEFGHJKLMNPRSTVWXY123456789';
const FIRST_YEAR = 1980;

export function isYearSign(sign: string): boolean {
  return sign.length === 1 && YEAR_SIGNS.includes(sign);
}

/** The sign of a model year. Throws for a year before 1980, which had none. */
export function yearSign(year: number): string {
  if (!Number.isInteger(year) || year < FIRST_YEAR) throw new RangeError(`${year} is not a model year that has a sign`);
  return YEAR_SIGNS[(year - FIRST_YEAR) % YEAR_SIGNS.length]!;
}

/**
 * Every model year not after `last` that the sign stands for, earliest first; empty for a sign that stands for none. On cars position 7
 * tells the two cycles of 30 years apart; on trailers nothing in the VIN does (565.15(b)), so both are given.
 */
export function modelYears(sign: string, last: number): number[] {
  const years: number[] = [];
  if (!isYearSign(sign)) return years;
  for (let year = FIRST_YEAR + YEAR_SIGNS.indexOf(sign); year <= last; year += YEAR_SIGNS.length) years.push(year);
  return years;
}
