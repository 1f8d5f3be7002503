import { findStation, routeOf } from '../setup/setup-at.ts';
import type { Line, Plant } from '../setup/plant.ts';
import type { LeftHow, Stay } from '../timeline/line-history.ts';
import type { Instant } from '../units.ts';
import type { Arrive, Fact, KeepsFrom, PutBack } from './fact.ts';
import type { Flag, FlagCode } from './flag.ts';
import { NO_QUALITY } from './quality-state.ts';
import type { UnitState } from './unit-state.ts';

export interface Change {
  state: UnitState;
  flags: Flag[];
  closed: Stay | null;
}

/** A serial of which nothing is known yet. */
export function emptyUnit(unit: string): UnitState {
  return {
    unit, known: false, model: null, options: [], order: '', dealer: '', sequence: null, plannedRelease: null, wish: null,
    firstPromise: null, promise: null, promiseMoved: null, vin: null, stage: 'scheduled', stageSince: null, place: null, seen: null,
    lastStation: null, holds: [], shorts: [], offLineReason: null, released: null, shipped: null, carrier: '', cancelled: null, load: null, cameBack: null, seenGone: null,
    ...NO_QUALITY,
  };
}

export function noChange(state: UnitState): Change {
  return { state, flags: [], closed: null };
}

export function flagOf(fact: Fact, state: UnitState, code: FlagCode, detail: string): Flag {
  return { fact: fact.id, code, unit: state.unit, station: 'station' in fact ? fact.station : null, detail };
}

/** The stay that ends at `left`, when the unit stands at a station of a line; null in a place outside every line. */
export function closePlace(state: UnitState, left: Instant, leftHow: LeftHow): Stay | null {
  const { place } = state;
  if (!place || place.line === null) return null;
  return {
    unit: state.unit, line: place.line, station: place.station, arrived: place.since, arrivedBy: place.broughtBy,
    finished: place.finished, left, leftHow,
  };
}

/**
 * A flag for each open hold that keeps the unit from what the fact says was done; `doing` null when it left nothing by it.
 * `to` is the station it goes to.
 */
export function heldFrom(state: UnitState, fact: Fact, doing: KeepsFrom | null, to: string | null): Flag[] {
  return state.holds
    .filter((hold) => hold.keepsFrom === doing || (hold.keepsFrom === 'work' && doing === 'leaving') || (hold.keepsFrom === 'station' && hold.fromStation === to))
    .map((hold) => flagOf(fact, state, 'pastHold', hold.id));
}

/** The unit comes to a station: what it stood at before is left, and the route says whether this was to be expected. */
export function arriveAt(state: UnitState, fact: Arrive | PutBack, plant: Plant | null): Change {
  const found = plant && findStation(plant, fact.station);
  if (state.place?.station === fact.station) return { ...noChange(state), flags: [flagOf(fact, state, 'twice', '')] };
  if (found?.line?.purpose === 'feeder') return noChange(state);
  const flags = heldFrom(state, fact, state.place === null ? null : 'leaving', fact.station);
  if (!found) flags.push(flagOf(fact, state, 'unknownStation', fact.station));
  const line = found?.line ?? null;
  if (fact.kind === 'arrive' && state.stage === 'offLine' && line) flags.push(flagOf(fact, state, 'offLine', ''));
  if (plant && line) flags.push(...routeFlags(state, fact, plant, line));
  const stage = found ? stageAt(state, line) : state.stage;
  const place = { line: line?.code ?? null, station: fact.station, slot: '', since: fact.happened, finished: null, broughtBy: fact.id };
  const next: UnitState = {
    ...state, place, stage, stageSince: stage === state.stage ? state.stageSince : fact.happened,
    lastStation: line ? fact.station : state.lastStation, offLineReason: stage === 'offLine' ? state.offLineReason : null,
    released: line ? null : state.released,
  };
  return { state: next, flags, closed: closePlace(state, fact.happened, 'implied') };
}

/**
 * The stage of a unit that comes to a station of `line`, or to a place outside every line: there it is in the yard, unless it was pulled
 * off the line and not put back, or is released.
 */
export function stageAt(state: UnitState, line: Line | null): UnitState['stage'] {
  if (line) return line.purpose === 'inspection' ? 'inspection' : 'onLine';
  return state.stage === 'offLine' || state.stage === 'released' ? state.stage : 'yard';
}

function routeFlags(state: UnitState, fact: Arrive | PutBack, plant: Plant, line: Line): Flag[] {
  const stations = routeOf(plant, line, state.model, state.options).map((step) => step.station);
  const to = stations.indexOf(fact.station);
  if (to < 0) return [flagOf(fact, state, 'notOnRoute', line.code)];
  const from = state.lastStation === null ? -1 : stations.indexOf(state.lastStation);
  // Back at the station that it was pulled off from, it has passed nothing.
  const returns = to === from && state.stage === 'offLine';
  if (to <= from && !returns) return [flagOf(fact, state, 'backwards', state.lastStation ?? '')];
  const skipped = stations.slice(from + 1, to);
  return skipped.length > 0 ? [flagOf(fact, state, 'skippedStations', skipped.join(' '))] : [];
}
