import type { FoldedUnit } from '../core/facts/fold-unit.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import { nextCovering, openIn } from '../core/gates/access.ts';
import { type UnreleasedShip, unreleasedShip } from '../core/gates/unreleased-ship.ts';
import type { Line, Plant } from '../core/setup/plant.ts';
import { findStation, nextOnRoute, routeOf, setupAt } from '../core/setup/setup-at.ts';
import { type Exit, exitsOf, shiftStartedBy } from '../core/timeline/line-output.ts';
import type { Instant } from '../core/units.ts';
import { passedByStays } from '../core/rates/count-points.ts';
import { StationhandError } from '../contract/errors.ts';
import type { Snapshot, StopRow, UnitRow } from '../contract/snapshot.ts';
import { lineNow, type LineNow } from './line-now.ts';
import type { PlantMemory } from './plant-memory.ts';
import { lateRow, lineOfUnit, readyToShip } from './ready-to-ship.ts';
import { stationRows } from './station-rows.ts';

/** What the floor said of its working time longer ago makes no difference to an open visit. */
const FLOOR_TIME_MS = 14 * 86_400_000;
/** A shift and the time before it in which its heads are counted are shorter. */
const CREW_MS = 2 * 86_400_000;

/** The plant as it stands at `at`, for every screen: a function of the memory and the instant. */
export function buildSnapshot(memory: PlantMemory, at: Instant): Snapshot {
  const plant = setupAt(memory.setups, at)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  const lines = new Map(plant.lines.map((line) => [line.code, lineNow(memory, line.code, at)]));
  const shown = [...memory.units.values()].filter(({ state }) => state.shipped === null && state.cancelled === null);
  return {
    version: memory.version, at, plant, setupVersion: memory.setupVersion,
    units: shown.map((unit) => unitRow(memory, plant, unit, lines, at)).sort((a, b) => (a.state.unit < b.state.unit ? -1 : 1)),
    stops: openStops(memory), stations: stationRows(memory, plant, lines, at),
    floorTime: memory.places.floorTime.filter((said) => Math.max(said.happened, said.until ?? 0) >= at - FLOOR_TIME_MS),
    crew: memory.places.crew.filter(({ happened }) => happened >= at - CREW_MS),
    exits: plant.lines.flatMap((line) => lineExits(memory, plant, line, at)),
    unreleasedShips: unreleasedShips(memory),
  };
}

export function unreleasedShips(memory: PlantMemory): UnreleasedShip[] {
  return [...memory.units.values()].flatMap(({ state }) => unreleasedShip(state) ?? []).sort((a, b) => b.at - a.at || (a.unit < b.unit ? -1 : 1));
}

function lineExits(memory: PlantMemory, plant: Plant, line: Line, at: Instant): Exit[] {
  const from = shiftStartedBy(memory.workingTime(line.code, null), at);
  return from === null ? [] : exitsOf(plant, line, [...memory.units.values()].map(({ history }) => history), from, at + 1);
}

export function unitRow(memory: PlantMemory, plant: Plant, unit: FoldedUnit, lines: ReadonlyMap<string, LineNow>, at: Instant): UnitRow {
  const { state, flags } = unit;
  const onto = lineOfUnit(plant, state);
  const now = onto && state.stage !== 'yard' && state.known ? lines.get(onto.code) : undefined;
  const projected = now?.projected.get(state.unit);
  const standing = state.place?.line ? lines.get(state.place.line)?.visits.get(state.unit) : undefined;
  const ready = readyToShip(memory, plant, unit, projected?.exit ?? null, at);
  return {
    state, visit: standing ?? null, next: nextStation(plant, unit),
    projectedFinish: finite(standing ? (standing.finished ?? projected?.places.find(({ station }) => station === standing.station)?.finish) : null),
    projectedExit: finite(projected?.exit), projectedReady: finite(ready), late: lateRow(memory, plant, state, ready, at), manufactured: manufacturedAt(memory, plant, unit), coveredAt: coveredAt(plant, state, projected?.places ?? []),
    flags: flags.map(({ fact, code, detail }) => ({ fact, code, detail, happened: memory.fact(fact)?.happened ?? 0 })),
  };
}

/** By unit as it was folded, which another fact or set-up folds anew. */
const manufactured = new WeakMap<FoldedUnit, { plant: Plant; at: Instant | null }>();

/** The instant whose month the certification label has. */
export function manufacturedAt({ setups }: PlantMemory, plant: Plant, unit: FoldedUnit): Instant | null {
  const { labels } = plant;
  if (!labels) return null;
  const known = manufactured.get(unit);
  if (known?.plant === plant) return known.at;
  const point = plant.countPoints?.find(({ code }) => code === labels.manufactured);
  const at = passedByStays(point ?? { code: '', name: '', event: 'offLine', station: null }, setups, unit);
  manufactured.set(unit, { plant, at });
  return at;
}

/** Only of zones in which something is open: of the others nobody asks. */
function coveredAt(plant: Plant, state: UnitState, places: readonly { station: string; finish: Instant }[]): Record<string, Instant> {
  const zones = new Set(openIn(state, null).map(({ zone }) => zone).filter((zone) => !state.covered.includes(zone)));
  return Object.fromEntries([...zones].flatMap((zone) => {
    const station = nextCovering(plant, state, zone, 0)?.station;
    const at = finite(places.find((place) => place.station === station)?.finish);
    return at === null ? [] : [[zone, at]];
  }));
}

function nextStation(plant: Plant, { state }: FoldedUnit): string | null {
  const last = state.place?.line ? state.place.station : state.lastStation;
  const line = last === null ? lineOfUnit(plant, state) : (findStation(plant, last)?.line ?? null);
  return line ? nextOnRoute(routeOf(plant, line, state.model, state.options), last) : null;
}

function openStops(memory: PlantMemory): StopRow[] {
  return memory.places.stops.filter((stop) => stop.cleared === null)
    .map(({ id, station, reason, note, opened, who }) => ({ id, station, reason, note, opened, who }));
}

const finite = (t: Instant | null | undefined): Instant | null => (t !== null && t !== undefined && Number.isFinite(t) ? t : null);
