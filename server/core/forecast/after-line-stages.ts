import { findLine, routeOf } from '../setup/setup-at.ts';
import type { Line, Plant } from '../setup/plant.ts';
import type { UnitHistory } from '../timeline/line-history.ts';
import type { Instant, Minutes } from '../units.ts';
import { AFTER_LINE } from './after-line-codes.ts';
import { type AfterLineMinutes, afterLineMinutes } from './after-line-minutes.ts';
import { constantTable, type DrawTable, drawTable } from './draw-table.ts';
import { blended, PSEUDO_VISITS, RECENT_VISITS, type Weigh } from './draws-from-history.ts';
import type { ForecastStage, ForecastUnit, UnitStage } from './forecast-input.ts';
import type { AfterLineUnit, ForecastMaterial } from './forecast-material.ts';
import type { CalendarOf } from './forecast-of-line.ts';

/** What comes after the line's end (definitions §6). */
export interface AfterLine {
  stages: ForecastStage[];
  learnt: AfterLineMinutes;
  beyond: { unit: string; stage: NonNullable<ForecastUnit['stage']> }[];
  /** What inspection is to a unit by its model and options. */
  inspectionOf(model: string, options: readonly string[]): Record<string, UnitStage>;
}

type WorkingBetween = (a: Instant, b: Instant) => Minutes;

/**
 * In this order: being pulled off (by so much more a unit is later, for whom others pass meanwhile), touch-up and re-tests, each station of each
 * inspection line with its places and calendar, release, pick-up. Durations are those of late; without any, inspection takes its standard and the rest nothing.
 */
export function afterLineStages(material: ForecastMaterial, plant: Plant, workingBetween: WorkingBetween, calendarOf: CalendarOf, weigh: Weigh): AfterLine {
  const { at, history } = material;
  const learnt = afterLineMinutes(material, workingBetween);
  const floorTime = history.floorTime.filter(({ happened }) => happened <= at);
  const calendar = calendarOf(history.line, null);
  const stage = (code: string, minutes: readonly Minutes[], more: Partial<ForecastStage> = {}): ForecastStage => (
    { code, capacity: null, calendar, probability: 1, minutes: minutes.length > 0 ? drawTable(minutes, minutes.map(weigh)) : constantTable(0), mends: false, ready: false, ...more });
  const lines = inspectionLines(plant);
  const ratios = inspectionRatios(material, lines, weigh);
  const inspection = lines.flatMap((line) => {
    const ofLine = calendarOf(line.code, null);
    return line.stations.map(({ code, capacity, calendar: own }): ForecastStage => {
      const hasOwn = own !== null || floorTime.some(({ station }) => station === code);
      return stage(code, [], { capacity: capacity ?? 1, calendar: hasOwn ? calendarOf(line.code, code) : ofLine, minutes: ratios.get(code)! });
    });
  });
  const stages = [
    stage(AFTER_LINE.offLine, material.pastOffLine.map(({ from, to }) => workingBetween(from, to)), { probability: 0 }), stage(AFTER_LINE.touchUp, learnt.touchUp), ...inspection,
    stage(AFTER_LINE.release, learnt.release, { mends: true, ready: true }), stage(AFTER_LINE.pickUp, learnt.pickUp),
  ];
  const inspectionOf = (model: string, options: readonly string[]): Record<string, UnitStage> => {
    const standards = new Map(lines.flatMap((line) => routeOf(plant, line, model || null, options)).map(({ station, standard }) => [station, standard]));
    return Object.fromEntries(inspection.map(({ code }) => {
      const scale = standards.get(code) ?? 0;
      return [code, { scale, probability: scale > 0 ? learnt.inspected : 0 }];
    }));
  };
  const passes = (unit: AfterLineUnit): string[] => Object.entries(inspectionOf(unit.model, unit.options)).filter(([, { probability }]) => probability > 0).map(([code]) => code);
  const inPlant = material.afterLine.filter(({ gone }) => gone === null).sort((a, b) => a.exit - b.exit);
  return { stages, learnt, inspectionOf, beyond: inPlant.map((unit) => ({ unit: unit.unit, stage: stageNow(unit, passes(unit), at, workingBetween) })) };
}

export function inspectionLines(plant: Plant): Line[] {
  return plant.lines.filter(({ purpose }) => purpose === 'inspection');
}

/** Where a unit past the line's end is: at the place it stands in, or in the queue for the next one. */
function stageNow(unit: AfterLineUnit, route: readonly string[], at: Instant, workingBetween: WorkingBetween): NonNullable<ForecastUnit['stage']> {
  if (unit.released !== null) return { code: AFTER_LINE.pickUp, standing: true, worked: workingBetween(unit.released, at) };
  const last = unit.stays.at(-1);
  if (!last) return { code: AFTER_LINE.touchUp, standing: true, worked: workingBetween(unit.exit, at) };
  const done = last.left !== null || last.finished !== null;
  if (!done) return { code: last.station, standing: true, worked: workingBetween(last.arrived, at) };
  const next = route[route.indexOf(last.station) + 1];
  if (next !== undefined && route.includes(last.station)) return { code: next, standing: false, worked: 0 };
  return { code: AFTER_LINE.release, standing: true, worked: workingBetween(last.left ?? last.finished!, at) };
}

/**
 * By inspection station: what a visit takes of it, all but being blocked, over its standard; from the latest 40 of its visits, blended with those of all
 * inspection as the stations of the line are with theirs.
 */
function inspectionRatios({ visits }: ForecastMaterial, lines: readonly Line[], weigh: Weigh): Map<string, DrawTable> {
  const codes = new Set(lines.flatMap(({ stations }) => stations.map(({ code }) => code)));
  const own = new Map<string, { left: Instant; ratio: number }[]>([...codes].map((code) => [code, []]));
  for (const { station, left, standard, dwell, minutes, notScanned } of visits) {
    if (!notScanned && left !== null && standard > 0) own.get(station)?.push({ left, ratio: (dwell - minutes.blocked) / standard });
  }
  const recent = new Map([...own].map(([code, all]) => [code, all.sort((a, b) => a.left - b.left).slice(-RECENT_VISITS).map(({ ratio }) => ({ value: ratio, weight: weigh() }))]));
  const everywhere = [...recent.values()].flat();
  return new Map([...recent].map(([code, ratios]) => {
    const share = everywhere.length === 0 ? 0 : (PSEUDO_VISITS * Math.max(0, 1 - ratios.length / RECENT_VISITS)) / everywhere.length;
    return [code, blended(ratios, everywhere, share) ?? constantTable(1)];
  }));
}

/** The part of the unit's history that inspection lines hold. */
export function inspectionStays(plant: Plant, history: UnitHistory): UnitHistory['stays'] {
  return history.stays.filter(({ line }) => findLine(plant, line)?.purpose === 'inspection');
}
