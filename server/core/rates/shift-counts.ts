import type { Shift } from '../calendar/shifts.ts';
import type { Fact } from '../facts/fact.ts';
import type { FoldedUnit } from '../facts/fold-unit.ts';
import { setupAt } from '../setup/setup-at.ts';
import type { CountEvent, SetupVersion } from '../setup/plant.ts';
import type { Instant, LocalDate, Minutes } from '../units.ts';
import { type CountAgainstPlan, countAgainstPlan, datesOfMonth, planDays } from './count-plan.ts';
import { countPassages, countPointsOf } from './count-points.ts';

/** Units, real numbers where planned. */
export interface CountedStretch {
  counted: number;
  /** Of them, those that nobody scanned at the point. */
  assumed: number;
  planned: number;
  plannedByNow: number;
}

/** What one count point says of a shift, of the day it belongs to and of that day's month to date. */
export interface ShiftCount {
  point: string;
  name: string;
  event: CountEvent;
  shift: CountedStretch;
  day: CountedStretch;
  month: CountedStretch & { first: LocalDate; remainingDays: number; neededPerDay: number | null; neededPace: Minutes | null };
}

export interface CountInput {
  setups: SetupVersion[];
  /** Every unit that may have passed a point in the month; more make no difference. */
  units: ReadonlyMap<string, FoldedUnit>;
  /** Releases and shipments of those units, and the voids that answer them. */
  facts: Fact[];
  shift: Shift;
  /** Told as far as this instant. */
  at: Instant;
}

/**
 * The counts of a shift against plan at every count point of the plant. The plan of a shift is what the main lines' calendars and paces have in its
 * hours (definitions §4); a unit counts for the shift until the next one begins.
 */
export function shiftCounts({ setups, units, facts, shift, at }: CountInput): ShiftCount[] {
  const plant = setupAt(setups, at)?.plant;
  if (!plant) return [];
  const dates = datesOfMonth(shift.date);
  const days = planDays(setups, dates, at);
  const plannedBy = (t: Instant): number => planDays(setups, [shift.date], t)[0]?.plannedByNow ?? 0;
  const before = plannedBy(shift.start);
  const ofShift = { planned: plannedBy(shift.end) - before, plannedByNow: plannedBy(Math.min(shift.end, Math.max(shift.start, at))) - before };
  return countPointsOf(plant).map((point) => {
    const passages = countPassages(point, setups, units, facts, at);
    const own = passages.filter((passage) => passage.at >= shift.start && passage.at <= at);
    const day = countAgainstPlan(passages, days.filter(({ date }) => date === shift.date));
    const month = countAgainstPlan(passages, days);
    const { remainingDays, neededPerDay, neededPace } = month;
    return {
      point: point.code, name: point.name, event: point.event, shift: { counted: own.length, assumed: own.filter(({ assumed }) => assumed).length, ...ofShift },
      day: stretchOf(day), month: { ...stretchOf(month), first: dates[0]!, remainingDays, neededPerDay, neededPace },
    };
  });
}

function stretchOf({ days, counted, planned, plannedByNow }: CountAgainstPlan): CountedStretch {
  return { counted, assumed: days.reduce((sum, { passages }) => sum + passages.filter(({ assumed }) => assumed).length, 0), planned, plannedByNow };
}
