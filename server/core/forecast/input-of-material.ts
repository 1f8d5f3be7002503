import { workingTimeOf, type WorkingTime } from '../calendar/working-time.ts';
import { endOfDay } from '../calendar/zone.ts';
import { type LineState, lineStateAt } from '../delay/line-state.ts';
import { findLine, setupAt } from '../setup/setup-at.ts';
import type { Line, Plant } from '../setup/plant.ts';
import { deriveVisits } from '../timeline/derive-visits.ts';
import type { Visit } from '../timeline/visit.ts';
import { AFTER_LINE } from './after-line-codes.ts';
import { type AfterLine, afterLineStages } from './after-line-stages.ts';
import { type CalendarTable, calendarTable } from './calendar-table.ts';
import { type DrawTable, residualTable } from './draw-table.ts';
import { equally, type Weigh } from './draws-from-history.ts';
import type { ForecastInput, ForecastUnit, OpenHold } from './forecast-input.ts';
import type { ForecastMaterial } from './forecast-material.ts';
import { type CalendarOf, forecastOfLine } from './forecast-of-line.ts';
import { behindThosePassing, pulledOffChance, stationsLeft } from './off-line.ts';

/** What a unit waits for that is no hold a person opened: its id among the holds of the forecast, and which it is. */
export const shortId = (item: string): string => `short ${item}`;
export const offLineId = (unit: string): string => `off-line ${unit}`;

/** A forecast's input with what it was learnt from. */
export interface LineInput {
  plant: Plant;
  /** Working time of the line. */
  time: WorkingTime;
  input: ForecastInput;
  after: AfterLine;
}

/** How a line stands, which is the same however its history is weighed. */
export interface KnownLine {
  plant: Plant;
  line: Line;
  time: WorkingTime;
  /** The visits that are open. */
  open: Visit[];
  state: LineState;
  calendarOf: CalendarOf;
}

/** Null when the set-up has no such line. */
export function knownOf(material: ForecastMaterial): KnownLine | null {
  const { at, history } = material;
  const plant = setupAt(history.setups, at)?.plant;
  const line = plant && findLine(plant, history.line);
  if (!plant || !line) return null;
  const time = workingTimeOf(history.setups, { line: line.code, station: null }, history.floorTime.filter(({ happened }) => happened <= at));
  const open = deriveVisits(history, at).filter(({ left }) => left === null);
  const beyond = new Set(material.afterLine.map(({ unit }) => unit));
  const told = lineStateAt(history, open, at)!;
  // One that went on to the yard without the scans before it does not come back to the line.
  const calendars = new Map<string, CalendarTable>();
  const calendarOf: CalendarOf = (of, station) => {
    const key = JSON.stringify([of, station]);
    const table = calendars.get(key) ?? calendarTable(workingTimeOf(history.setups, { line: of, station }, history.floorTime.filter(({ happened }) => happened <= at)), at);
    calendars.set(key, table);
    return table;
  };
  return { plant, line, time, open, calendarOf, state: { ...told, units: told.units.filter(({ unit }) => !beyond.has(unit)) } };
}

/** The whole forecast of a main line: from the stations to release and pick-up (definitions §6). */
export function inputOfMaterial(material: ForecastMaterial, { plant, line, time, open, state, calendarOf }: KnownLine, weigh: Weigh = equally): LineInput {
  const { at, history } = material;
  const after = afterLineStages(material, plant, time.workingBetween, calendarOf, weigh);
  const kept = keptOtherwise(material, time);
  const input = forecastOfLine(history, [...material.visits, ...open], state, at, {
    stages: after.stages, mending: after.learnt.mending, openShorts: new Map(), beyond: after.beyond, pastHolds: material.pastHolds, keeps: kept.keeps, weigh, calendarOf,
    promises: new Map(material.promises.map(({ unit, promise }) => [unit, endOfDay(plant.timeZone, promise)])),
  });
  const units = new Map([...history.units, ...material.afterLine].map((unit) => [unit.unit, unit]));
  const stations = new Set(line.stations.map(({ code }) => code));
  const ofLine = material.visits.filter(({ station }) => stations.has(station));
  const withStages = (unit: ForecastUnit): ForecastUnit => {
    const known = units.get(unit.unit);
    const offLine = { scale: 1, probability: unit.stage === null ? pulledOffChance(ofLine, stationsLeft(unit)) : 0 };
    return { ...unit, ofStages: { ...after.inspectionOf(known?.model ?? '', known?.options ?? []), [AFTER_LINE.offLine]: offLine } };
  };
  return { plant, time, after, input: { ...input, units: behindThosePassing(input.units, kept.offLine).map(withStages) } };
}

/** Short items that are still open keep their unit from shipping, and being off the line keeps it from going on, as long as such things lately did. */
function keptOtherwise({ at, shorts, history, pastOffLine }: ForecastMaterial, { workingBetween }: WorkingTime): { keeps: Map<string, OpenHold[]>; offLine: Map<string, DrawTable> } {
  const keeps = new Map<string, OpenHold[]>();
  const keep = (unit: string, hold: OpenHold): void => void keeps.set(unit, [...(keeps.get(unit) ?? []), hold]);
  const fitting = shorts.flatMap(({ opened, fitted }) => (fitted === null || fitted > at ? [] : [workingBetween(opened, fitted)]));
  for (const { unit, id, opened, fitted } of shorts) {
    if (opened > at || (fitted !== null && fitted <= at)) continue;
    keep(unit, { id: shortId(id), keepsFrom: 'shipping', fromStation: null, left: residualTable(fitting, workingBetween(opened, at)) });
  }
  const offLine = new Map<string, DrawTable>();
  const lasted = pastOffLine.map(({ from, to }) => workingBetween(from, to));
  for (const { unit, offLine: stretches } of history.units) {
    const off = stretches.find(({ from, to }) => from <= at && (to === null || to > at));
    if (!off) continue;
    const left = residualTable(lasted, workingBetween(off.from, at));
    offLine.set(unit, left);
    keep(unit, { id: offLineId(unit), keepsFrom: 'work', fromStation: null, left });
  }
  return { keeps, offLine };
}
