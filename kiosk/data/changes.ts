import type { Snapshot, StationRow, UnitRow } from '../../server/contract/snapshot.ts';
import type { Changed } from '../../server/contract/live.ts';

/** `snapshot` with what moved put in, or null when `change` does not follow it and a fresh one is needed. */
export function applyChange(snapshot: Snapshot, change: Changed): Snapshot | null {
  if (change.version <= snapshot.version) return snapshot;
  if (change.from !== snapshot.version) return null;
  const units = new Map<string, UnitRow>(snapshot.units.map((row) => [row.state.unit, row]));
  for (const row of change.units) units.set(row.state.unit, row);
  for (const unit of change.gone) units.delete(unit);
  const stations = new Map<string, StationRow>(snapshot.stations.map((row) => [row.station, row]));
  for (const row of change.stations) stations.set(row.station, row);
  return {
    ...snapshot,
    version: change.version,
    at: change.at,
    units: [...units.values()],
    stations: [...stations.values()],
    stops: change.stops,
    floorTime: change.floorTime,
  };
}
