import type { HoldRow, Named, OffLineRow, ShortRow, StopOpenRow } from '../contract/shift-summary.ts';
import type { FoldedUnit } from '../core/facts/fold-unit.ts';
import type { Line, Plant } from '../core/setup/plant.ts';
import { findStation } from '../core/setup/setup-at.ts';
import type { Instant, Minutes } from '../core/units.ts';
import type { PlantMemory } from './plant-memory.ts';
import { lineOfUnit } from './ready-to-ship.ts';

export interface OpenItems {
  offLine: OffLineRow[];
  shorts: ShortRow[];
  holds: HoldRow[];
  stops: StopOpenRow[];
}

/** The station or place of that code as the plant names it; a code that it does not have stands for itself. */
export function named(plant: Plant, code: string): Named {
  return { code, name: findStation(plant, code)?.station.name ?? code };
}

/**
 * What was open of `line` at `at`, oldest first. A unit belongs to the line it stood at last, until it comes to another one; repair bays and yard
 * places to the plant's first main line.
 */
export function openItems(memory: PlantMemory, plant: Plant, line: Line, at: Instant): OpenItems {
  const units = memory.unitsAt(unitsInTrouble(memory, at), at).filter(({ state }) => state.shipped === null && state.cancelled === null && ofLine(plant, line, state.place?.station ?? state.lastStation, () => lineOfUnit(plant, state)));
  const age = (station: string | null, since: Instant): Minutes => ageAt(memory, plant, line, station, since, at);
  const bySince = <T extends { since: Instant }>(rows: T[]): T[] => rows.sort((a, b) => a.since - b.since);
  return {
    offLine: bySince(units.flatMap((unit) => offLineRow(plant, unit, age))),
    shorts: bySince(units.flatMap(({ state }) => state.shorts.map(({ what, owner, fitAt, expected, station, opened }): ShortRow => ({
      unit: state.unit, what, owner, fitAt: fitAt === null ? null : named(plant, fitAt), expected, overdue: expected !== null && expected < at, leftAt: named(plant, station),
      since: opened, age: age(station, opened),
    })))),
    holds: bySince(units.flatMap(({ state }) => state.holds.map(({ id, reason, keepsFrom, fromStation, opened }): HoldRow => ({
      id, unit: state.unit, reason, keepsFrom, fromStation, place: state.place ? named(plant, state.place.station) : null, since: opened, age: age(state.place?.station ?? null, opened),
    })))),
    stops: bySince(memory.places.stops.filter((stop) => stop.opened <= at && (stop.cleared === null || stop.cleared > at) && ofLine(plant, line, stop.station, () => null))
      .map(({ id, station, reason, note, opened }) => ({ id, station: named(plant, station), reason, note, since: opened, age: age(station, opened) }))),
  };
}

/** Units there at `at` that may have a hold open, be off the line or lack something: what is open is told by their fold alone. */
function unitsInTrouble(memory: PlantMemory, at: Instant): string[] {
  const during = ({ from, to }: { from: Instant; to: Instant | null }): boolean => from <= at && (to === null || to > at);
  return [...memory.units.values()].filter(({ history: { unit, gone, holds, offLine, stays } }) => {
    if (gone !== null && gone <= at) return false;
    if (offLine.some(during) || holds.some(({ opened, cleared }) => during({ from: opened, to: cleared }))) return true;
    return stays.some(({ arrived }) => arrived <= at) && memory.factsOf(unit).some(({ kind }) => kind === 'leaveShort');
  }).map(({ state }) => state.unit);
}

/** Whether `station` is on the line; one outside every line, and a unit that stood nowhere, belong to `otherwise` or the first main line. */
function ofLine(plant: Plant, line: Line, station: string | null, otherwise: () => Line | null): boolean {
  const found = station === null ? null : (findStation(plant, station)?.line ?? null);
  const own = found ?? otherwise() ?? plant.lines.find(({ purpose }) => purpose === 'main') ?? plant.lines[0];
  return own?.code === line.code;
}

function ageAt(memory: PlantMemory, plant: Plant, line: Line, station: string | null, since: Instant, at: Instant): Minutes {
  const found = station === null ? null : findStation(plant, station);
  const time = memory.workingTime(found?.line?.code ?? line.code, found?.line ? found.station.code : null);
  return time.workingBetween(since, at);
}

function offLineRow(plant: Plant, { state }: FoldedUnit, age: (station: string | null, since: Instant) => Minutes): OffLineRow[] {
  if (state.stage !== 'offLine' || state.stageSince === null) return [];
  const place = state.place?.station ?? null;
  return [{
    unit: state.unit, model: state.model ?? '', reason: state.offLineReason ?? '', place: place === null ? null : named(plant, place),
    since: state.stageSince, age: age(state.lastStation, state.stageSince),
  }];
}
