import { setupAt } from '../setup/setup-at.ts';
import type { Calendar, DayShift, Line, Plant, SetupVersion } from '../setup/plant.ts';
import type { Instant, LocalDate, LocalTime } from '../units.ts';
import { type Stretch, union, without } from './stretches.ts';
import { addDays, instantOfLocal, weekdayOf } from './zone.ts';

/** One shift as it lay in time; `date` is the day it started on, to which it belongs. */
export interface Shift {
  name: string;
  date: LocalDate;
  start: Instant;
  end: Instant;
}

/** Shifts of one date and the working stretches in them. */
export interface WorkingDay {
  shifts: Shift[];
  stretches: Stretch[];
}

export interface Where {
  line: string | null;
  station: string | null;
}

/** The shifts of `date` at `where`, by the set-up in force when the date begins. */
export function workingDay(setups: readonly SetupVersion[], where: Where, zone: string, date: LocalDate): WorkingDay {
  const plant = setupAt(setups, instantOfLocal(zone, date, '00:00'))?.plant;
  const calendar = plant && calendarOf(plant, where);
  if (!plant || !calendar) return { shifts: [], stretches: [] };
  const shifts: Shift[] = [];
  const stretches: Stretch[] = [];
  for (const shift of shiftsOn(calendar, date)) {
    const laid = lay(plant.timeZone, date, shift);
    if (laid.end <= laid.start) continue;
    shifts.push({ name: shift.name, date, start: laid.start, end: laid.end });
    stretches.push(...laid.stretches);
  }
  return { shifts: shifts.sort((a, b) => a.start - b.start), stretches: union(stretches) };
}

/** The line of that code, else the one that has the station; null for a place outside every line. */
function lineAt(plant: Plant, { line, station }: Where): Line | null {
  return plant.lines.find((candidate) => candidate.code === line) ?? plant.lines.find((candidate) => candidate.stations.some((own) => own.code === station)) ?? null;
}

/** A place outside every line works when the plant's first main line does. */
function firstMain(plant: Plant): Line | null {
  return plant.lines.find((candidate) => candidate.purpose === 'main') ?? plant.lines[0] ?? null;
}

function ownCalendar(plant: Plant, station: string | null): string | null {
  return [...plant.lines.flatMap((line) => line.stations), ...plant.places].find((candidate) => candidate.code === station)?.calendar ?? null;
}

/** The station's own calendar, else its line's, else that of the plant's first main line. */
function calendarOf(plant: Plant, where: Where): Calendar | undefined {
  const code = ownCalendar(plant, where.station) ?? (lineAt(plant, where) ?? firstMain(plant))?.calendar;
  return plant.calendars.find((calendar) => calendar.code === code);
}

/**
 * Code of the line whose word (open until, gone home) holds at `where` too: its own line's. A place outside every line goes by the word of
 * the line whose calendar it follows; with a calendar of its own it goes by no line's.
 */
export function lineFollowed(setups: readonly SetupVersion[], where: Where, t: Instant): string | null {
  const plant = setupAt(setups, t)?.plant;
  if (!plant) return where.line;
  const line = lineAt(plant, where);
  if (line || where.line !== null) return line?.code ?? where.line;
  return ownCalendar(plant, where.station) === null ? (firstMain(plant)?.code ?? null) : null;
}

function shiftsOn(calendar: Calendar, date: LocalDate): DayShift[] {
  const today = calendar.exceptions.filter((exception) => exception.date === date);
  if (today.some((exception) => exception.kind === 'closed')) return [];
  const short = today.filter((exception) => exception.kind === 'shortDay');
  const weekly = calendar.shifts.filter((shift) => shift.weekdays.includes(weekdayOf(date)));
  const base = short.length > 0 ? short.flatMap((exception) => exception.shifts) : weekly;
  return [...base, ...today.filter((exception) => exception.kind === 'overtime').flatMap((exception) => exception.shifts)];
}

/** A shift on the wall clock of `date`; an edge that is not after the start belongs to the next day. */
function lay(zone: string, date: LocalDate, shift: DayShift): Stretch & { start: Instant; end: Instant; stretches: Stretch[] } {
  const edge = (time: LocalTime, nextDay: boolean): Instant => instantOfLocal(zone, nextDay ? addDays(date, 1) : date, time);
  const start = edge(shift.start, false);
  const end = edge(shift.end, shift.end <= shift.start);
  let stretches: Stretch[] = [{ from: start, to: end }];
  for (const pause of shift.breaks) {
    const nextDay = pause.start < shift.start;
    stretches = without(stretches, { from: edge(pause.start, nextDay), to: edge(pause.end, nextDay || pause.end <= pause.start) });
  }
  return { start, end, from: start, to: end, stretches };
}
