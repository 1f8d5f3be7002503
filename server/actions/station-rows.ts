import type { UnitState } from '../core/facts/unit-state.ts';
import type { Line, Plant, Station } from '../core/setup/plant.ts';
import { routeOf } from '../core/setup/setup-at.ts';
import { crewAt, crewShift } from '../core/timeline/crew.ts';
import type { Instant } from '../core/units.ts';
import type { StationRow } from '../contract/snapshot.ts';
import type { LineNow } from './line-now.ts';
import type { PlantMemory } from './plant-memory.ts';

/** Who stands at every station and place of the plant, and what its free places are now. `lines` are the lines as they stand at `at`. */
export function stationRows(memory: PlantMemory, plant: Plant, lines: ReadonlyMap<string, LineNow>, at: Instant): StationRow[] {
  const states = [...memory.units.values()].map(({ state }) => state).filter((state) => state.shipped === null && state.cancelled === null);
  const standing = new Map<string, UnitState[]>();
  for (const state of states) if (state.place) standing.set(state.place.station, [...(standing.get(state.place.station) ?? []), state]);
  for (const line of plant.lines.filter(({ purpose }) => purpose === 'feeder')) addParts(memory, line, lines.get(line.code), standing);
  const row = (line: Line | null, station: Station): StationRow => {
    const here = (standing.get(station.code) ?? []).filter((state) => !evicted(state, line, lines));
    const free = freePlaces(plant, station, here);
    return {
      line: line?.code ?? null, station: station.code, units: here.map(({ unit }) => unit).sort(), free,
      freeState: line && free > 0 ? freeState(memory, plant, line, station, states, at) : null,
      crew: crewAt(station, memory.places.crew, line ? crewShift(memory.workingTime(line.code, station.code), at) : null, at),
    };
  };
  return [...plant.lines.flatMap((line) => line.stations.map((station) => row(line, station))), ...plant.places.map((place) => row(null, place))];
}

/** Parts stand on feeder lines beside the bodies of their units. */
function addParts(memory: PlantMemory, line: Line, now: LineNow | undefined, standing: Map<string, UnitState[]>): void {
  for (const [unit, visit] of now?.visits ?? []) {
    const state = memory.units.get(unit)?.state;
    if (state && line.stations.some(({ code }) => code === visit.station)) standing.set(visit.station, [...(standing.get(visit.station) ?? []), state]);
  }
}

/** An arrival at a full station ended its stay: it stands there by its own facts, but holds no place. */
function evicted(state: UnitState, line: Line | null, lines: ReadonlyMap<string, LineNow>): boolean {
  const now = line && lines.get(line.code);
  return now ? !now.visits.has(state.unit) : false;
}

/** Places counted, or how many of the longest model still fit. */
function freePlaces(plant: Plant, station: Station, here: readonly UnitState[]): number {
  if (station.placeLength === null) return Math.max(0, (station.capacity ?? 1) - here.length);
  const lengthOf = (model: string | null): number => plant.models.find(({ code }) => code === model)?.length ?? 0;
  const left = station.placeLength - here.reduce((sum, { model }) => sum + lengthOf(model), 0);
  return Math.max(0, Math.floor(left / Math.max(...plant.models.map(({ length }) => length))));
}

/** Starved while a unit that came onto the line still has the station ahead on its route (definitions §3); null outside working time. */
function freeState(memory: PlantMemory, plant: Plant, line: Line, station: Station, states: readonly UnitState[], at: Instant): StationRow['freeState'] {
  if (!memory.workingTime(line.code, station.code).isWorking(at)) return null;
  const wanted = states.some((state) => {
    const last = memory.units.get(state.unit)?.history.stays.filter((stay) => stay.line === line.code).at(-1);
    if (!last) return false;
    const route = routeOf(plant, line, state.model, state.options).map((step) => step.station);
    return route.indexOf(station.code) > route.indexOf(last.station);
  });
  return wanted ? 'starved' : 'idle';
}
