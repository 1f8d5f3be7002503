import { workingTimeOf } from '../calendar/working-time.ts';
import { addDays, endOfDay, instantOfLocal } from '../calendar/zone.ts';
import { setupAt } from '../setup/setup-at.ts';
import type { SetupVersion } from '../setup/plant.ts';
import type { Instant, LocalDate, Minutes } from '../units.ts';
import type { Passage } from './count-points.ts';

/** What the set-up plans for one day: working minutes of the main lines ÷ their pace (definitions §4). */
export interface PlanDay {
  date: LocalDate;
  /** Units, a real number. */
  planned: number;
  /** Of them, those whose minutes were past at the instant asked for. */
  plannedByNow: number;
  /** Working minutes of the main lines together that were still to come. */
  minutesLeft: Minutes;
}

/** The dates of the month that `date` lies in. */
export function datesOfMonth(date: LocalDate): LocalDate[] {
  const dates: LocalDate[] = [];
  for (let day = `${date.slice(0, 7)}-01`; day.slice(0, 7) === date.slice(0, 7); day = addDays(day, 1)) dates.push(day);
  return dates;
}

/**
 * The plan of each date, by the set-up in force when the date begins. A shift belongs to the date it starts on. What the floor says on the
 * day changes what is worked, not what was planned.
 */
export function planDays(setups: readonly SetupVersion[], dates: readonly LocalDate[], at: Instant): PlanDay[] {
  const zone = setupAt(setups, at)?.plant.timeZone ?? 'UTC';
  const codes = new Set(setups.flatMap(({ plant }) => plant.lines.filter(({ purpose }) => purpose === 'main').map(({ code }) => code)));
  const times = [...codes].map((code) => ({ code, time: workingTimeOf(setups, { line: code, station: null }, []) }));
  return dates.map((date) => {
    const start = instantOfLocal(zone, date, '00:00');
    const day: PlanDay = { date, planned: 0, plannedByNow: 0, minutesLeft: 0 };
    for (const { code, time } of times) {
      const line = setupAt(setups, start)?.plant.lines.find((own) => own.code === code && own.purpose === 'main');
      if (!line) continue;
      let counted = start;
      for (const shift of time.shiftsBetween(start, endOfDay(zone, date))) {
        // Where two shifts overlap, their common minutes are worked once.
        const from = Math.max(counted, shift.start);
        counted = Math.max(counted, shift.end);
        const minutes = time.workingBetween(from, counted);
        const past = time.workingBetween(from, Math.min(counted, Math.max(from, at)));
        day.planned += minutes / line.pace;
        day.plannedByNow += past / line.pace;
        day.minutesLeft += minutes - past;
      }
    }
    return day;
  });
}

export interface CountedDay extends PlanDay {
  counted: number;
  passages: Passage[];
}

/** Units counted at one point against the plan of a stretch of days, as a month. */
export interface CountAgainstPlan {
  days: CountedDay[];
  counted: number;
  /** Units planned for all the days, and until the instant asked for. */
  planned: number;
  plannedByNow: number;
  /** Counted - planned by now; negative is behind. */
  ahead: number;
  /** Days with working minutes still to come, the one under way among them. */
  remainingDays: number;
  /** Units each of them has to bring to reach the plan; 0 when it is reached, null when no day is left. */
  neededPerDay: number | null;
  /** Working minutes left ÷ units needed, to be held against the pace; null when nothing is needed or no minute is left. */
  neededPace: Minutes | null;
}

/** `passages` of one point, those on other days left out, against the plan of `days` (`planDays`). */
export function countAgainstPlan(passages: readonly Passage[], days: readonly PlanDay[]): CountAgainstPlan {
  const byDate = new Map<LocalDate, Passage[]>();
  for (const passage of passages) byDate.set(passage.date, [...(byDate.get(passage.date) ?? []), passage]);
  const counted = days.map((day) => ({ ...day, counted: byDate.get(day.date)?.length ?? 0, passages: byDate.get(day.date) ?? [] }));
  const total = (of: (day: CountedDay) => number): number => counted.reduce((sum, day) => sum + of(day), 0);
  const units = total((day) => day.counted);
  const planned = total((day) => day.planned);
  const plannedByNow = total((day) => day.plannedByNow);
  const minutesLeft = total((day) => day.minutesLeft);
  const remainingDays = counted.filter((day) => day.minutesLeft > 0).length;
  const needed = Math.max(0, planned - units);
  return {
    days: counted, counted: units, planned, plannedByNow, ahead: units - plannedByNow, remainingDays,
    neededPerDay: remainingDays > 0 ? needed / remainingDays : needed === 0 ? 0 : null, neededPace: needed > 0 && minutesLeft > 0 ? minutesLeft / needed : null,
  };
}
