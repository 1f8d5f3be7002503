import type { UnitRow } from '../../server/contract/snapshot.ts';

export interface LateFilter {
  shipDay: string;
  dealer: string;
  model: string;
}

/** Units that are or will be late and fit the filter (`''` fits all), worst first; ties by serial. */
export function lateRows(units: readonly UnitRow[], filter: LateFilter): UnitRow[] {
  return units
    .filter((row) => row.late?.late === true)
    .filter((row) => fits(filter.shipDay, row.state.promise) && fits(filter.dealer, row.state.dealer) && fits(filter.model, row.state.model))
    .toSorted((a, b) => (b.late?.minutesLate ?? 0) - (a.late?.minutesLate ?? 0) || (a.state.unit < b.state.unit ? -1 : 1));
}

/** The different values of a column, sorted, to choose a filter from. */
export function choicesOf(units: readonly UnitRow[], value: (row: UnitRow) => string | null): string[] {
  const late = units.filter((row) => row.late?.late === true).map(value);
  return [...new Set(late.filter((one): one is string => one !== null && one !== ''))].toSorted();
}

function fits(wanted: string, value: string | null): boolean {
  return wanted === '' || wanted === value;
}
