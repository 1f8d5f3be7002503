import { StationhandError } from '../contract/errors.ts';
import type { ShiftSummaryReply, ToldDelay, ToldShift } from '../contract/shift-summary.ts';
import { chooseShift, type ShiftChoice } from '../core/calendar/shift-choice.ts';
import type { Shift } from '../core/calendar/shifts.ts';
import { workingTimeOf } from '../core/calendar/working-time.ts';
import { causesInOrder } from '../core/delay/causes-in-order.ts';
import type { DelayCause, LineDelay } from '../core/delay/line-delay.ts';
import type { CountInput } from '../core/rates/shift-counts.ts';
import { addDays, instantOfLocal } from '../core/calendar/zone.ts';
import type { Line, Plant } from '../core/setup/plant.ts';
import { findLine, setupAt } from '../core/setup/setup-at.ts';
import type { Instant, LocalDate } from '../core/units.ts';
import { BEFORE_MS } from './line-delay.ts';
import { lineHistoryBetween } from './line-history.ts';
import type { PlantMemory } from './plant-memory.ts';
import { named, openItems } from './shift-open-items.ts';
import { actionsOf, headsOf, notesOf } from './shift-words.ts';
import type { Workers } from './workers.ts';

/** Which shift is asked for: nulls stand for the shift now, or between shifts the last one. */
export interface AskedShift {
  date: LocalDate | null;
  shift: string | null;
}

/** The shift of a line on one page. Throws `unknownLine`, and `malformedQuery` for a shift that the date does not have. */
export async function shiftSummary(memory: PlantMemory, workers: Workers, lineCode: string, asked: AskedShift, now: Instant): Promise<ShiftSummaryReply> {
  const plant = setupAt(memory.setups, now)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  const line = findLine(plant, lineCode);
  if (!line) throw new StationhandError('unknownLine');
  // Not the memory's own, which would grow to every day that anybody asks for.
  const time = workingTimeOf(memory.setups, { line: line.code, station: null }, memory.places.floorTime);
  const choice = chooseShift(time, plant.timeZone, now, asked.date, asked.shift);
  if (choice.unknownKey) throw new StationhandError('malformedQuery', { what: `There is no shift ${asked.shift} on ${choice.date}.`, where: 'shift' });
  const { date, shift, shifts, previous, next } = choice;
  return {
    version: memory.version, now, plant: { code: plant.code, name: plant.name, timeZone: plant.timeZone }, line: { code: line.code, name: line.name },
    lines: plant.lines.map(({ code, name }) => ({ code, name })), date, shift, shifts, previous, next,
    told: shift && shift.start <= now ? await toldShift(memory, workers, plant, line, shift, choice, now) : null,
  };
}

/** A shift is told to the beginning of the next one: what is scanned after hours belongs to the shift that worked it. */
async function toldShift(memory: PlantMemory, workers: Workers, plant: Plant, line: Line, shift: Shift, { previous, next }: ShiftChoice, now: Instant): Promise<ToldShift> {
  const at = next ? next.start - 1 : now;
  const history = lineHistoryBetween(memory, line.code, shift.start - BEFORE_MS, at);
  // What is copied to the threads is told before the first wait, so that all of it is of one version.
  const rest = {
    ...openItems(memory, plant, line, at), heads: headsOf(memory, plant, line, shift, at), notes: notesOf(memory, line.code, previous?.start ?? shift.start, shift.start, at),
    ...actionsOf(memory, line.code, shift.start, at),
  };
  const reasonOf = reasonsIn(memory);
  const [counts, delay] = await Promise.all([
    workers.run('countsOfShift', countInput(memory, plant, shift, at)), workers.run('lineDelayOf', { history, from: shift.start, to: next?.start ?? now }),
  ]);
  return { at, current: next === null, counts, delay: toldDelay(plant, delay, reasonOf), ...rest };
}

/** Of the units those that may have passed a count point in the month: with a stay, a release or a shipment in it. */
function countInput(memory: PlantMemory, plant: Plant, shift: Shift, at: Instant): CountInput {
  // A shift of the month may reach over its edge.
  const from = instantOfLocal(plant.timeZone, addDays(`${shift.date.slice(0, 7)}-01`, -2), '00:00');
  const touched = [...memory.units].filter(([, { state, history }]) => [state.released, state.shipped].some((t) => t !== null && t >= from)
    || history.stays.some(({ arrived, left }) => arrived <= at && (left ?? at) >= from));
  const units = new Map(touched);
  return { setups: memory.setups, units, facts: memory.officeFactsOf(units.keys()), shift, at };
}

/** Why a hold, a stop or a pull from the line was, as the floor said it. */
function reasonsIn(memory: PlantMemory): (cause: DelayCause) => string {
  return ({ kind, cause, unit, began }) => {
    const pull = kind === 'pulledOff' && unit !== null ? memory.factsOf(unit).find((fact) => fact.kind === 'pullOff' && fact.happened === began) : undefined;
    const fact = cause === null ? pull : memory.fact(cause);
    return fact && 'reason' in fact ? fact.reason : '';
  };
}

function toldDelay(plant: Plant, { lastUnit, totalMinutes, lostMinutes, inPipeMinutes, unitMinutesLate, causes }: LineDelay, reasonOf: (cause: DelayCause) => string): ToldDelay {
  const { pushed, pushedMinutes, recoveredMinutes } = causesInOrder(causes, reasonOf);
  return {
    lastUnit, totalMinutes, lostMinutes, inPipeMinutes, unitMinutesLate, pushedMinutes, recoveredMinutes,
    causes: pushed.map(({ label: _, station, ...cause }) => ({ ...cause, station: station === null ? null : named(plant, station) })),
  };
}
