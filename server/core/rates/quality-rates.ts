import { isoWeekOf, type IsoWeek, mondayOf } from '../calendar/iso-week.ts';
import { addDays, instantOfLocal } from '../calendar/zone.ts';
import type { WorkState } from '../facts/quality-state.ts';
import type { UnitState } from '../facts/unit-state.ts';
import type { Plant } from '../setup/plant.ts';
import type { Instant, LocalDate } from '../units.ts';
import { checkYields, type CheckYields } from './check-yields.ts';
import { type ChartPoint, uChart } from './control-limits.ts';
import { paretoOrder, type ParetoRow } from './pareto.ts';

export interface WeekDefects {
  week: IsoWeek;
  /** Defects found in it, and units that had a first attempt at any check in it. */
  defects: number;
  units: number;
  /** Null in a week in which nothing was checked. */
  point: ChartPoint | null;
}

export interface QualityRates extends CheckYields {
  weeks: WeekDefects[];
  /** Defects found in the period, by where they lie, whose work they are, and what they are. '' is nothing said. */
  byZone: ParetoRow<{ label: string; amount: number }>[];
  byStation: ParetoRow<{ label: string; amount: number }>[];
  byKind: ParetoRow<{ label: string; amount: number }>[];
}

/** Rates of quality over the days from `first` to `last`, both included, weeks from Monday to Sunday in the plant's zone (definitions §9). */
export function qualityRates(units: readonly UnitState[], plant: Plant, first: LocalDate, last: LocalDate): QualityRates {
  const at = (date: LocalDate): Instant => instantOfLocal(plant.timeZone, date, '00:00');
  const [from, to] = [at(first), at(addDays(last, 1))];
  const checks = (plant.checks ?? []).map(({ code }) => code);
  const found = units.flatMap(({ work }) => work).filter(({ found: { at: when } }) => when >= from && when < to);
  const weeks: Omit<WeekDefects, 'point'>[] = [];
  for (let monday = mondayOf(first); monday <= last; monday = addDays(monday, 7)) {
    const [begins, ends] = [Math.max(from, at(monday)), Math.min(to, at(addDays(monday, 7)))];
    const checked = units.filter((unit) => unit.checks.some(({ check, first: one }) => one !== null && one.at >= begins && one.at < ends && checks.includes(check))).length;
    weeks.push({ week: isoWeekOf(monday), units: checked, defects: found.filter((one) => one.found.at >= begins && one.found.at < ends).length });
  }
  const points = uChart(weeks);
  let told = 0;
  return {
    ...checkYields(units, checks, from, to), weeks: weeks.map((week) => ({ ...week, point: week.units > 0 ? points[told++]! : null })),
    byZone: countedBy(found, ({ zone }) => zone ?? ''), byStation: countedBy(found, ({ belongsTo }) => belongsTo ?? ''), byKind: countedBy(found, ({ what }) => what.trim()),
  };
}

function countedBy(work: readonly WorkState[], label: (one: WorkState) => string): ParetoRow<{ label: string; amount: number }>[] {
  const counts = new Map<string, number>();
  for (const one of work) counts.set(label(one), (counts.get(label(one)) ?? 0) + 1);
  return paretoOrder([...counts].map(([name, amount]) => ({ label: name, amount })));
}
