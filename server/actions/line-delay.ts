import { StationhandError } from '../contract/errors.ts';
import { type LineDelayReply, type NamedCause, type ShiftDelaysReply, stationCosts } from '../contract/line-delay.ts';
import { addDays, instantOfLocal } from '../core/calendar/zone.ts';
import type { LineDelay } from '../core/delay/line-delay.ts';
import { sumOfShifts, sumsByDay } from '../core/delay/line-delay-by-shift.ts';
import { findLine, setupAt } from '../core/setup/setup-at.ts';
import { shiftStartedBy } from '../core/timeline/line-output.ts';
import type { Instant, LocalDate } from '../core/units.ts';
import { lineHistoryBetween } from './line-history.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Workers } from './workers.ts';

/** The plan at the period's beginning needs the release before it, and what stood on the line then. */
export const BEFORE_MS = 3 * 86_400_000;

/** Line delay of the shift of `line` that runs at `at`, or of the last one before. Null where no shift began within a fortnight. */
export async function lineDelayNow(memory: PlantMemory, workers: Workers, line: string, at: Instant): Promise<LineDelayReply | null> {
  needLine(memory, line, at);
  const { version } = memory;
  const time = memory.workingTime(line, null);
  const from = shiftStartedBy(time, at);
  const shift = from === null ? null : time.shiftsBetween(from, from + 1).at(-1);
  if (from === null || !shift) return null;
  const history = lineHistoryBetween(memory, line, from - BEFORE_MS, at);
  const delay = await workers.run('lineDelayOf', { history, from, to: at });
  const { exits: _, causes, ...sums } = delay;
  const named = namedCauses(memory, causes);
  return { ...sums, version, shift: shift.name, date: shift.date, causes: named, costs: stationCosts(named) };
}

/** Line delay of each shift of `line` that began on one of the days from `first` to `last`. Throws `malformedQuery` for more than 62 days. */
export async function lineDelayOfDays(memory: PlantMemory, workers: Workers, line: string, first: LocalDate, last: LocalDate, at: Instant): Promise<ShiftDelaysReply> {
  const plant = needLine(memory, line, at);
  const { version } = memory;
  const from = instantOfLocal(plant.timeZone, first, '00:00');
  const to = Math.min(at, instantOfLocal(plant.timeZone, addDays(last, 1), '00:00'));
  if (addDays(first, 62) <= last || last < first) throw new StationhandError('malformedQuery', { what: 'The period is none of 1 to 62 days.', where: 'from, to' });
  const history = lineHistoryBetween(memory, line, from - BEFORE_MS, to);
  const shifts = to <= from ? [] : await workers.run('lineDelayOfShifts', { history, from, to });
  const told = shifts.map(({ date, shift, delay }) => {
    const { totalMinutes, lostMinutes, inPipeMinutes, unitMinutesLate } = delay;
    return { date, shift, totalMinutes, lostMinutes, inPipeMinutes, unitMinutesLate, costs: stationCosts(namedCauses(memory, delay.causes)) };
  });
  return { version, line, shifts: told, days: sumsByDay(shifts), whole: sumOfShifts(shifts) };
}

/** Causes with the reason of their hold or stop. */
export function namedCauses(memory: PlantMemory, causes: LineDelay['causes']): NamedCause[] {
  return causes.map((cause) => {
    const fact = cause.cause === null ? null : memory.fact(cause.cause);
    return { ...cause, reason: fact !== null && 'reason' in fact ? fact.reason : '' };
  });
}

function needLine(memory: PlantMemory, line: string, at: Instant) {
  const plant = setupAt(memory.setups, at)?.plant;
  if (!plant || !findLine(plant, line)) throw new StationhandError('unknownLine', { what: `The plant has no line ${line}.` });
  return plant;
}
