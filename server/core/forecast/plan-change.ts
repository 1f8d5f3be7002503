import { addDays, weekdayOf } from '../calendar/zone.ts';
import type { Calendar, DayShift, SetupVersion } from '../setup/plant.ts';
import { type Instant, type LocalDate, type LocalTime, type Minutes, MS_PER_MINUTE } from '../units.ts';
import { workedBy } from './calendar-table.ts';
import { withHoldCleared } from './clear-by.ts';
import type { CompiledLine } from './compiled-line.ts';
import type { DrawTable } from './draw-table.ts';
import type { ForecastInput, ForecastUnit } from './forecast-input.ts';
import type { ForecastMaterial } from './forecast-material.ts';

/** One thing that a plan does otherwise than today's. */
export type PlanChange =
  /** So many minutes more after the last shift of each day from `from` to `to` that has one, on every line. */
  | { kind: 'overtime'; from: LocalDate; to: LocalDate; minutes: Minutes }
  /** A whole first shift on a day that has none, such as a Saturday. */
  | { kind: 'extraDay'; date: LocalDate }
  /** A unit that is to be released goes before another one; the planned releases keep their order. */
  | { kind: 'sequence'; unit: string; before: string }
  | { kind: 'clearHold'; unit: string; hold: string; at: Instant }
  /** `heads` in all where `planned` are the standard crew: work takes planned / heads as long (common practice, no source). */
  | { kind: 'heads'; station: string; planned: number; heads: number }
  | { kind: 'places'; station: string; places: number }
  /** The standard at a station by so many hundredths less. */
  | { kind: 'standard'; station: string; lessPercent: number };

const DAYS_AT_MOST = 60;

/** The material with the calendars of the changed plan. Working time of days before them stays as it was. */
export function changedMaterial(material: ForecastMaterial, changes: readonly PlanChange[]): ForecastMaterial {
  const setups = material.history.setups.map((setup): SetupVersion => (
    { ...setup, plant: { ...setup.plant, calendars: setup.plant.calendars.map((calendar) => changes.reduce(changedCalendar, calendar)) } }));
  return { ...material, history: { ...material.history, setups } };
}

function changedCalendar(calendar: Calendar, change: PlanChange): Calendar {
  if (change.kind === 'extraDay') {
    const [first] = calendar.shifts;
    if (!first || shiftsOn(calendar, change.date).length > 0) return calendar;
    // What closes the day does not hold for who works it all the same.
    const others = calendar.exceptions.filter(({ date, kind }) => date !== change.date || kind !== 'closed');
    return { ...calendar, exceptions: [...others, { date: change.date, kind: 'overtime', shifts: [plain(first)], note: '' }] };
  }
  if (change.kind !== 'overtime') return calendar;
  const exceptions = [...calendar.exceptions];
  for (let date = change.from, n = 0; date <= change.to && n < DAYS_AT_MOST; date = addDays(date, 1), n++) {
    const last = shiftsOn(calendar, date).reduce<DayShift | null>((latest, shift) => (latest === null || endOf(shift) > endOf(latest) ? shift : latest), null);
    if (last) exceptions.push({ date, kind: 'overtime', shifts: [{ name: 'Overtime', start: timeOf(endOf(last)), end: timeOf(endOf(last) + change.minutes), breaks: [] }], note: '' });
  }
  return { ...calendar, exceptions };
}

const plain = ({ name, start, end, breaks }: DayShift): DayShift => ({ name, start, end, breaks });

function shiftsOn({ shifts, exceptions }: Calendar, date: LocalDate): DayShift[] {
  const today = exceptions.filter((exception) => exception.date === date);
  if (today.some(({ kind }) => kind === 'closed')) return [];
  const short = today.filter(({ kind }) => kind === 'shortDay');
  const base: DayShift[] = short.length > 0 ? short.flatMap((exception) => exception.shifts) : shifts.filter(({ weekdays }) => weekdays.includes(weekdayOf(date)));
  return [...base, ...today.filter(({ kind }) => kind === 'overtime').flatMap((exception) => exception.shifts)];
}

const minuteOf = (time: LocalTime): Minutes => Number(time.slice(0, 2)) * 60 + Number(time.slice(3));
/** Minutes after the midnight at which the shift's day begins. */
const endOf = ({ start, end }: DayShift): Minutes => minuteOf(end) + (minuteOf(end) <= minuteOf(start) ? 1_440 : 0);

function timeOf(minute: Minutes): LocalTime {
  const within = Math.round(minute) % 1_440;
  return `${String(Math.floor(within / 60)).padStart(2, '0')}:${String(within % 60).padStart(2, '0')}`;
}

/** The input with crews, places, standards and sequence of the changed plan. */
export function changedInput(input: ForecastInput, changes: readonly PlanChange[]): ForecastInput {
  return changes.reduce((changed, change): ForecastInput => {
    switch (change.kind) {
      case 'heads': return timesWork(changed, change.station, change.planned / change.heads);
      case 'standard': return timesWork(changed, change.station, 1 - change.lessPercent / 100);
      case 'places': return withPlaces(changed, change.station, change.places);
      case 'sequence': return { ...changed, units: resequenced(changed.units, change.unit, change.before) };
      default: return changed;
    }
  }, input);
}

function timesWork(input: ForecastInput, code: string, factor: number): ForecastInput {
  const times = (table: DrawTable): DrawTable => table.map((value) => value * factor);
  return {
    ...input,
    stations: input.stations.map((station) => (station.code === code ? { ...station, draws: { ...station.draws, ratios: times(station.draws.ratios) } } : station)),
    stages: input.stages.map((stage) => (stage.code === code ? { ...stage, minutes: times(stage.minutes) } : stage)),
  };
}

function withPlaces(input: ForecastInput, code: string, places: number): ForecastInput {
  const changed = <P extends { code: string; capacity: number | null }>(place: P): P => (place.code === code ? { ...place, capacity: places } : place);
  return { ...input, stations: input.stations.map(changed), stages: input.stages.map(changed) };
}

function resequenced(units: readonly ForecastUnit[], unit: string, before: string): ForecastUnit[] {
  const isComing = ({ reached, stage }: ForecastUnit): boolean => reached < 0 && stage === null;
  const coming = units.filter(isComing);
  const releases = coming.map(({ plannedRelease }) => plannedRelease);
  const moved = coming.find((one) => one.unit === unit);
  const others = coming.filter((one) => one.unit !== unit);
  const at = others.findIndex((one) => one.unit === before);
  if (!moved || at < 0) return [...units];
  const order = [...others.slice(0, at), moved, ...others.slice(at)];
  return [...units.filter((one) => !isComing(one)), ...order.map((one, i) => ({ ...one, plannedRelease: releases[i]! }))];
}

/** The compiled line with the holds of the changed plan cleared when it says. */
export function changedHolds(compiled: CompiledLine, changes: readonly PlanChange[]): CompiledLine {
  return changes.reduce((changed, change) => {
    const hold = change.kind === 'clearHold' ? changed.holds.ids.indexOf(change.hold) : -1;
    if (change.kind !== 'clearHold' || hold < 0) return changed;
    return withHoldCleared(changed, hold, workedBy(changed.calendars[0]!, Math.max(0, (change.at - changed.at) / MS_PER_MINUTE)));
  }, compiled);
}
