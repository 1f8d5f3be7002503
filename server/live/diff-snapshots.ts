import type { Changed } from '../contract/live.ts';
import type { Snapshot } from '../contract/snapshot.ts';

/** What a screen that has `before` needs to come to `after`. Rows are equal when their JSON is. */
export function diffSnapshots(before: Snapshot, after: Snapshot): Changed {
  const units = new Map(before.units.map((row) => [row.state.unit, JSON.stringify(row)]));
  const stations = new Map(before.stations.map((row) => [row.station, JSON.stringify(row)]));
  const there = new Set(after.units.map((row) => row.state.unit));
  return {
    version: after.version, from: before.version, at: after.at,
    units: after.units.filter((row) => units.get(row.state.unit) !== JSON.stringify(row)),
    gone: [...units.keys()].filter((unit) => !there.has(unit)),
    stations: after.stations.filter((row) => stations.get(row.station) !== JSON.stringify(row)),
    stops: after.stops, floorTime: after.floorTime, crew: after.crew, exits: after.exits, unreleasedShips: after.unreleasedShips,
  };
}
