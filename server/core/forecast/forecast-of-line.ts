import { workingTimeOf } from '../calendar/working-time.ts';
import type { ComingUnit, LineState } from '../delay/line-state.ts';
import type { HoldInterval, LineHistory, UnitHistory } from '../timeline/line-history.ts';
import type { Instant, Minutes } from '../units.ts';
import { type CalendarTable, calendarTable } from './calendar-table.ts';
import { constantTable, drawTable, type DrawTable } from './draw-table.ts';
import { drawsFrom, holdDurations, holdLeft, type RecentVisit, type Weigh } from './draws-from-history.ts';
import type { ForecastInput, ForecastStage, ForecastUnit, OpenHold } from './forecast-input.ts';

export type CalendarOf = (line: string, station: string | null) => CalendarTable;

/** What a forecast needs beside the line's own history. */
export interface ForecastSetting {
  stages: ForecastStage[];
  /** Work minutes of short items mended lately. */
  mending: Minutes[];
  /** Open short items by unit. */
  openShorts: ReadonlyMap<string, number>;
  /** When each unit must be ready to ship. */
  promises: ReadonlyMap<string, Instant>;
  /** Units past the line's end, and the stage that each is at. */
  beyond: { unit: string; stage: NonNullable<ForecastUnit['stage']> }[];
  /** Holds of units that are gone, to learn from. */
  pastHolds?: HoldInterval[];
  /** What keeps a unit besides its holds. */
  keeps?: ReadonlyMap<string, OpenHold[]>;
  /** How much each visit of the history counts; all the same when left out. */
  weigh?: Weigh;
  /** The calendar of a line (`station` null) or station, where it is at hand already. */
  calendarOf?: CalendarOf;
}

/**
 * The forecast of a line from what is known of it at `at`: `state` of it then, `visits` those of `deriveVisits(history, at)`, closed ones to draw from
 * and open ones for their work so far.
 */
export function forecastOfLine(history: LineHistory, visits: readonly RecentVisit[], state: LineState, at: Instant, setting: ForecastSetting): ForecastInput {
  const { line, time } = state;
  const floorTime = history.floorTime.filter((said) => said.happened <= at);
  const calendarOf: CalendarOf = setting.calendarOf ?? ((of, station) => calendarTable(station === null ? time : workingTimeOf(history.setups, { line: of, station }, floorTime), at));
  // On a line that rolls together roll lag is also the wait for the unit that enters, which the release tells.
  const drawn = line.roll === 'together' ? visits.map((visit) => ({ ...visit, minutes: { ...visit.minutes, rollLag: 0 } })) : visits;
  const draws = drawsFrom(drawn, line.stations.map(({ code }) => code), setting.mending, setting.weigh);
  const durations = holdDurations({ units: [...history.units, { holds: setting.pastHolds ?? [] }] }, at, time.workingBetween);
  const mends = setting.mending.length > 0 ? drawTable(setting.mending) : constantTable(0);
  const open = new Map(visits.filter(({ left, notScanned }) => left === null && !notScanned).map((visit) => [visit.unit, visit]));
  const histories = new Map(history.units.map((unit) => [unit.unit, unit]));

  const about = (unit: string): Pick<ForecastUnit, 'holds' | 'openShorts' | 'promise'> => ({
    holds: [...openHolds(histories.get(unit), at, (reason, opened) => holdLeft(durations, reason, time.workingBetween(opened, at))), ...(setting.keeps?.get(unit) ?? [])],
    openShorts: Array.from({ length: setting.openShorts.get(unit) ?? 0 }, () => mends), promise: setting.promises.get(unit) ?? null,
  });
  const onLine = (coming: ComingUnit): ForecastUnit => {
    const visit = open.get(coming.unit);
    const worked = coming.here && visit && visit.finished === null ? visit.minutes.work : null;
    const route = coming.route.map(({ station, standard }) => ({ station: station.code, standard }));
    const { unit, length, reached, here, plannedRelease } = coming;
    return { unit, length, route, reached, here, worked, plannedRelease, stage: null, ...about(unit) };
  };
  const beyond = setting.beyond.map(({ unit, stage }): ForecastUnit => ({
    unit, length: 0, route: [], reached: 0, here: false, worked: null, plannedRelease: null, stage, ...about(unit),
  }));
  return {
    at, roll: line.roll, pace: line.pace, lastRelease: state.lastRelease, calendar: calendarOf(line.code, null), stages: setting.stages,
    stations: line.stations.map(({ code, capacity, placeLength, unitsMayPass, calendar }) => {
      const own = calendar !== null || floorTime.some((said) => said.station === code);
      const table = own ? calendarOf(line.code, code) : null;
      // A place without a number is a place for one, as in the projection at standard.
      return { code, capacity: capacity ?? 1, placeLength, unitsMayPass, calendar: table, draws: draws.get(code)! };
    }),
    units: [...beyond, ...state.units.map(onLine)],
  };
}

function openHolds(unit: UnitHistory | undefined, at: Instant, left: (reason: string, opened: Instant) => DrawTable): OpenHold[] {
  const open = (unit?.holds ?? []).filter(({ opened, cleared }) => opened <= at && (cleared === null || cleared > at));
  return open.map(({ id, reason, keepsFrom, fromStation, opened }) => ({ id, keepsFrom, fromStation, left: left(reason, opened) }));
}
