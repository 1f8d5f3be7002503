import { inspectionLines, inspectionStays } from '../core/forecast/after-line-stages.ts';
import { RECENT_UNITS } from '../core/forecast/after-line-minutes.ts';
import { RECENT_VISITS } from '../core/forecast/draws-from-history.ts';
import type { AfterLineUnit, ForecastMaterial } from '../core/forecast/forecast-material.ts';
import type { LoadOfUnits } from '../core/forecast/load-outlook.ts';
import type { FoldedUnit } from '../core/facts/fold-unit.ts';
import { findLine, routeOf, setupAt } from '../core/setup/setup-at.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { LineHistory, UnitHistory } from '../core/timeline/line-history.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { recentVisitsText } from '../store/derived/recent-visits.ts';
import { lineHistoryNow } from './line-history.ts';
import type { PlantMemory } from './plant-memory.ts';
import { lineOfUnit } from './ready-to-ship.ts';
import type { PostedMaterial } from './forecast-jobs.ts';

const SINCE_MS = 90 * 86_400_000;
const PAST_HOLDS = 400;
const PAST_OFF_LINE = 100;

/** All that the forecast of `line` at `at` is told from, as the memory and the told visits have it now. */
export async function postedMaterial(db: Db, memory: PlantMemory, line: string, at: Instant): Promise<PostedMaterial> {
  const material = materialNow(memory, line, at);
  const plant = setupAt(memory.setups, at)?.plant;
  const lines = [line, ...(plant ? inspectionLines(plant).map(({ code }) => code) : [])];
  return { material, visits: await recentVisitsText(db, memory.code, lines, at - SINCE_MS, RECENT_VISITS) };
}

export function materialNow(memory: PlantMemory, line: string, at: Instant): Omit<ForecastMaterial, 'visits'> {
  const plant = setupAt(memory.setups, at)?.plant;
  const history = historyOfLine(memory, plant, line, at);
  const here = new Set(history.units.map(({ unit }) => unit));
  const all = [...memory.units.values()];
  const afterLine = plant ? all.flatMap((unit) => afterLineUnit(plant, line, unit)) : [];
  const gone = afterLine.filter((unit) => unit.gone !== null).sort((a, b) => b.exit - a.exit).slice(0, RECENT_UNITS);
  const pastHolds = all.filter(({ state }) => !here.has(state.unit)).flatMap(({ history: own }) => own.holds).filter(({ cleared }) => cleared !== null);
  const pastOffLine = all.flatMap(({ history: own }) => own.offLine).flatMap(({ from, to }) => (to === null ? [] : [{ from, to }]));
  return {
    at, history, afterLine: [...afterLine.filter((unit) => unit.gone === null), ...gone], shorts: memory.shortItems(),
    pastHolds: pastHolds.sort((a, b) => b.opened - a.opened).slice(0, PAST_HOLDS), pastOffLine: pastOffLine.sort((a, b) => b.to - a.to).slice(0, PAST_OFF_LINE),
    loads: loadsToGo(memory),
    promises: all.flatMap(({ state }) => (state.promise === null || state.shipped !== null || state.cancelled !== null ? [] : [{ unit: state.unit, promise: state.promise }])),
  };
}

function loadsToGo(memory: PlantMemory): LoadOfUnits[] {
  const units = new Map<string, string[]>();
  for (const { state: { unit, load, shipped } } of memory.units.values()) if (load !== null && shipped === null) units.set(load, [...(units.get(load) ?? []), unit]);
  const pickUps = new Map(memory.loads.map(({ load, pickUp }) => [load, pickUp]));
  return [...units].map(([load, own]) => ({ load, pickUp: pickUps.get(load) ?? null, units: own }));
}

/** A unit whose model would pass several main lines comes to the one that it is on, or to the first. */
function historyOfLine(memory: PlantMemory, plant: Plant | undefined, line: string, at: Instant): LineHistory {
  const history = lineHistoryNow(memory, line, at);
  const comes = ({ unit, stays }: UnitHistory): boolean => {
    const state = memory.units.get(unit)?.state;
    return stays.some((stay) => stay.line === line) || (plant !== undefined && state !== undefined && lineOfUnit(plant, state)?.code === line);
  };
  return { ...history, units: history.units.filter(comes) };
}

const PAST_THE_LINE = new Set(['inspection', 'yard', 'released', 'shipped']);

/** The unit when it is past the end of `line`, else nothing. */
function afterLineUnit(plant: Plant, line: string, { state, history }: FoldedUnit): AfterLineUnit[] {
  const last = history.stays.findLast((stay) => stay.line === line);
  const of = findLine(plant, line);
  if (!last || !of || state.stage === 'cancelled') return [];
  const { unit, released, shipped } = state;
  const done = PAST_THE_LINE.has(state.stage) || (last.left !== null && state.stage === 'onLine' && routeOf(plant, of, state.model, state.options).at(-1)?.station === last.station);
  const exit = last.left ?? state.stageSince;
  return done && exit !== null ? [{ unit, model: history.model, options: history.options, exit, stays: inspectionStays(plant, history), released, gone: shipped }] : [];
}
