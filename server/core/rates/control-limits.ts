/** Centre line and control limits, three standard errors apart. A value on a limit is not outside. */
export interface Limits {
  centre: number;
  lower: number;
  upper: number;
}

/**
 * Constants of a moving range of two, as the NIST/SEMATECH e-Handbook 6.3.2.2 rounds them: d2 turns a mean range into a standard
 * deviation, D4 gives the range's upper limit.
 */
const D2 = 1.128;
const D4 = 3.267;

export interface IndividualsPoint {
  value: number;
  /** |value - the one before|; null for the first. */
  movingRange: number | null;
  /** Outside the limits of the values (Western Electric's first rule, Nelson's first). */
  outside: boolean;
  rangeOutside: boolean;
  /** The ninth or a later one in a row on one side of the centre line (Nelson's second rule). A value on the line ends the row. */
  runOfNine: boolean;
}

export interface IndividualsChart {
  values: Limits;
  /** Limits of the moving range; its lower one is 0. */
  ranges: Limits;
  points: IndividualsPoint[];
}

/** Individuals and moving range (NIST/SEMATECH e-Handbook 6.3.2.2), values in order of time. Null below two values: there is no range. */
export function individualsChart(values: readonly number[]): IndividualsChart | null {
  if (values.length < 2) return null;
  const ranges = values.slice(1).map((value, i) => Math.abs(value - values[i]!));
  const centre = mean(values);
  const range = mean(ranges);
  const limits = { centre, lower: centre - (3 * range) / D2, upper: centre + (3 * range) / D2 };
  const rangeLimits = { centre: range, lower: 0, upper: D4 * range };
  let run = 0;
  let side = 0;
  const points = values.map((value, i) => {
    const own = Math.sign(value - centre);
    run = own !== 0 && own === side ? run + 1 : Math.abs(own);
    side = own;
    const movingRange = i === 0 ? null : ranges[i - 1]!;
    return { value, movingRange, outside: isOutside(value, limits), rangeOutside: movingRange !== null && isOutside(movingRange, rangeLimits), runOfNine: run >= 9 };
  });
  return { values: limits, ranges: rangeLimits, points };
}

/** One point of a chart of counts with the limits that hold for it. */
export interface ChartPoint extends Limits {
  value: number;
  outside: boolean;
}

/** Defects in samples of one size (NIST/SEMATECH e-Handbook 6.3.3.1, c chart). Empty for no samples. */
export function cChart(defects: readonly number[]): ChartPoint[] {
  const centre = defects.length === 0 ? 0 : mean(defects);
  return defects.map((value) => countPoint(value, centre, Math.sqrt(centre), Number.POSITIVE_INFINITY));
}

/** Share of defective units in each sample (NIST/SEMATECH e-Handbook 6.3.3.2, p chart). Samples of no units have no point. */
export function pChart(samples: readonly { defective: number; units: number }[]): ChartPoint[] {
  const told = samples.filter(({ units }) => units > 0);
  const centre = ratio(told.map(({ defective }) => defective), told.map(({ units }) => units));
  return told.map(({ defective, units }) => countPoint(defective / units, centre, Math.sqrt((centre * (1 - centre)) / units), 1));
}

/** Defects per unit in samples of any size (Montgomery, Statistical Quality Control, u chart). Samples of no units have no point. */
export function uChart(samples: readonly { defects: number; units: number }[]): ChartPoint[] {
  const told = samples.filter(({ units }) => units > 0);
  const centre = ratio(told.map(({ defects }) => defects), told.map(({ units }) => units));
  return told.map(({ defects, units }) => countPoint(defects / units, centre, Math.sqrt(centre / units), Number.POSITIVE_INFINITY));
}

/** A count has no lower limit below 0, and a share no upper one above 1. */
function countPoint(value: number, centre: number, standardError: number, most: number): ChartPoint {
  const limits = { centre, lower: Math.max(0, centre - 3 * standardError), upper: Math.min(most, centre + 3 * standardError) };
  return { value, ...limits, outside: isOutside(value, limits) };
}

/** On the limit is inside, also where rounding puts it a hair beyond. */
function isOutside(value: number, { centre, lower, upper }: Limits): boolean {
  const hair = 1e-9 * Math.max(1, Math.abs(centre));
  return value < lower - hair || value > upper + hair;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function ratio(parts: readonly number[], wholes: readonly number[]): number {
  const whole = wholes.reduce((sum, value) => sum + value, 0);
  return whole === 0 ? 0 : parts.reduce((sum, value) => sum + value, 0) / whole;
}
