import { type IsoWeek, isoWeekOf } from '../calendar/iso-week.ts';
import { type WorkingTime, workingTimeOf } from '../calendar/working-time.ts';
import { localOf } from '../calendar/zone.ts';
import type { SetupVersion } from '../setup/plant.ts';
import { findLine, routeOf, setupAt } from '../setup/setup-at.ts';
import type { LineHistory, UnitHistory } from '../timeline/line-history.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Instant, LocalDate } from '../units.ts';

/** What leads from a figure back to a visit: the unit, the station and the fact that brought it there. */
export interface VisitKey {
  unit: string;
  station: string;
  /** Null for a visit that was not scanned. */
  arrived: Instant | null;
  arrivedBy: string | null;
}

/** `counted`: left, goes into the statistics. `provisional`: still open. `notScanned`: the station was missed. */
export type VisitStanding = 'counted' | 'provisional' | 'notScanned';

/** A visit with all that a report sorts it by. */
export interface VisitRecord {
  visit: Visit;
  key: VisitKey;
  standing: VisitStanding;
  /** '' while the unit's model is unknown. */
  model: string;
  /** Name of the shift in which the arrival lies; '' outside every shift. */
  shift: string;
  /** The day the shift began on; outside every shift the day on the plant's wall clock. */
  date: LocalDate;
  week: IsoWeek;
}

/**
 * The visits that began in [from, to), each with model, shift, day and week of its arrival. One that was not scanned is told at the
 * instant that showed it missing: the unit's first arrival behind the station on its route.
 */
export function visitRecords(history: LineHistory, visits: readonly Visit[], from: Instant, to: Instant): VisitRecord[] {
  const units = new Map(history.units.map((unit) => [unit.unit, unit]));
  const times = new Map<string, WorkingTime>();
  const timeOf = (station: string): WorkingTime => {
    const time = times.get(station) ?? workingTimeOf(history.setups, { line: history.line, station }, history.floorTime);
    times.set(station, time);
    return time;
  };
  return visits.flatMap((visit) => {
    const unit = units.get(visit.unit);
    const begun = visit.arrived ?? (unit ? shownMissing(history, unit, visit.station) : null);
    if (!unit || begun === null || begun < from || begun >= to) return [];
    const stay = unit.stays.find((own) => own.line === visit.line && own.station === visit.station && own.arrived === visit.arrived);
    return [{
      visit, standing: visit.notScanned ? 'notScanned' : visit.provisional ? 'provisional' : 'counted', model: unit.model,
      key: { unit: visit.unit, station: visit.station, arrived: visit.arrived, arrivedBy: stay?.arrivedBy ?? null }, ...shiftOf(history.setups, timeOf(visit.station), begun),
    }];
  });
}

/** The shift that `t` lies in, its day and its week. */
export function shiftOf(setups: readonly SetupVersion[], time: WorkingTime, t: Instant): Pick<VisitRecord, 'shift' | 'date' | 'week'> {
  const shift = time.shiftAt(t);
  const date = shift?.date ?? localOf(setupAt(setups, t)?.plant.timeZone ?? 'UTC', t).date;
  return { shift: shift?.name ?? '', date, week: isoWeekOf(date) };
}

function shownMissing({ setups, line: code }: LineHistory, unit: UnitHistory, station: string): Instant | null {
  for (const stay of unit.stays) {
    const plant = stay.line === code ? setupAt(setups, stay.arrived)?.plant : null;
    const line = plant && findLine(plant, code);
    if (!plant || !line) continue;
    const route = routeOf(plant, line, unit.model || null, unit.options).map((step) => step.station);
    const missed = route.indexOf(station);
    if (missed >= 0 && route.indexOf(stay.station) > missed) return stay.arrived;
  }
  return null;
}
