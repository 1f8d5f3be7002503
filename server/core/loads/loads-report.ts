import type { UnitStage, UnitState } from '../facts/unit-state.ts';
import type { LoadOutlook } from '../forecast/load-outlook.ts';
import { type Instant, type LocalDate, MS_PER_MINUTE } from '../units.ts';
import type { LoadState } from './fold-loads.ts';

/** `planned`, `called` the carrier was; `partlyGone`: picked up without some of its units; `gone`: all of them were picked up. */
export const LOAD_STANDINGS = ['planned', 'called', 'partlyGone', 'gone'] as const;
export type LoadStanding = (typeof LOAD_STANDINGS)[number];

export interface LoadUnit {
  unit: string;
  model: string;
  dealer: string;
  promise: LocalDate | null;
  stage: UnitStage;
  place: string;
  released: Instant | null;
  shipped: Instant | null;
  /** Ready to ship: the middle of the forecast; when it was released, for a released unit; null while nothing is forecast. */
  ready: Instant | null;
}

export interface LoadRow extends LoadState {
  standing: LoadStanding;
  /** In the order of their ship days, then by serial. */
  units: LoadUnit[];
  /** Units not shipped yet, and how many of them are released. */
  toGo: number;
  released: number;
  /** When all that are to go are ready, by the forecast; null where nothing is forecast of them. */
  outlook: LoadOutlook | null;
  /** When the last of its units was picked up; null before the first. */
  pickedUp: Instant | null;
  cameBack: { unit: string; at: Instant; reason: string }[];
}

/** For so long a load that is gone stays in the report, and one from which a unit came back; one without units until a day after its truck was to come. */
export const GONE_DAYS = 14;

/**
 * The loads that wait, those to be picked up first before the others, then those gone in the last `GONE_DAYS`, the latest first. `units` are all
 * units of the plant, `outlooks` what is forecast of each load, `readyOf` the middle of a unit's forecast.
 */
export function loadsReport(
  units: readonly UnitState[], loads: readonly LoadState[], outlooks: readonly LoadOutlook[], readyOf: (unit: string) => Instant | null, at: Instant,
): LoadRow[] {
  const byLoad = new Map<string, UnitState[]>();
  const back = new Map<string, LoadRow['cameBack']>();
  const put = <T>(map: Map<string, T[]>, load: string, one: T): void => void map.set(load, [...(map.get(load) ?? []), one]);
  for (const state of units) {
    if (state.load !== null) put(byLoad, state.load, state);
    if (state.cameBack && state.cameBack.load !== null) put(back, state.cameBack.load, { unit: state.unit, at: state.cameBack.at, reason: state.cameBack.reason });
  }
  const known = new Map(loads.map((load) => [load.load, load]));
  const names = new Set([...known.keys(), ...byLoad.keys(), ...back.keys()]);
  const rows = [...names].map((name) => {
    const said = known.get(name) ?? { load: name, carrier: '', pickUp: null, note: '', called: null };
    return rowOf(said, byLoad.get(name) ?? [], back.get(name) ?? [], outlooks.find(({ load }) => load === name) ?? null, readyOf);
  });
  const since = at - GONE_DAYS * 1_440 * MS_PER_MINUTE;
  const recent = ({ standing, units: own, pickUp, pickedUp, cameBack }: LoadRow): boolean => {
    if (standing === 'gone') return (pickedUp ?? 0) >= since || cameBack.some((one) => one.at >= since);
    return own.length > 0 || pickUp === null || pickUp >= at - 1_440 * MS_PER_MINUTE;
  };
  return rows.filter(recent).sort(compareLoads);
}

function rowOf(said: LoadState, own: readonly UnitState[], back: LoadRow['cameBack'], outlook: LoadOutlook | null, readyOf: (unit: string) => Instant | null): LoadRow {
  const units = own.map((state): LoadUnit => ({
    unit: state.unit, model: state.model ?? '', dealer: state.dealer, promise: state.promise, stage: state.stage, place: state.place?.station ?? '',
    released: state.released, shipped: state.shipped, ready: state.released ?? readyOf(state.unit),
  })).sort((a, b) => compareText(a.promise ?? '9999', b.promise ?? '9999') || compareText(a.unit, b.unit));
  const toGo = units.filter(({ shipped }) => shipped === null);
  const gone = units.flatMap(({ shipped }) => (shipped === null ? [] : [shipped]));
  // A load whose only units came back was picked up too.
  const left = gone.length > 0 || (back.length > 0 && units.length === 0);
  return {
    ...said, standing: left ? (toGo.length === 0 ? 'gone' : 'partlyGone') : said.called ? 'called' : 'planned', units, toGo: toGo.length,
    released: toGo.filter(({ released }) => released !== null).length, outlook: toGo.length === 0 ? null : outlook,
    pickedUp: gone.length === 0 ? null : Math.max(...gone), cameBack: [...back].sort((a, b) => a.at - b.at),
  };
}

function compareLoads(a: LoadRow, b: LoadRow): number {
  const [goneA, goneB] = [a.standing === 'gone', b.standing === 'gone'];
  if (goneA !== goneB) return Number(goneA) - Number(goneB);
  if (goneA) return (b.pickedUp ?? 0) - (a.pickedUp ?? 0) || compareText(a.load, b.load);
  return (a.pickUp ?? Infinity) - (b.pickUp ?? Infinity) || compareText(a.load, b.load);
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
