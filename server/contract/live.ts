import type { DeviceRow } from './devices.ts';
import type { ForecastTold } from './forecast.ts';
import type { Snapshot, StationRow, StopRow, UnitRow } from './snapshot.ts';

/**
 * What moved since version `from`. A client whose snapshot has another version than `from`, and every client that
 * connects again, fetches a fresh snapshot; so no event can be missed unnoticed.
 */
export interface Changed {
  version: number;
  from: number;
  at: Snapshot['at'];
  /** Units to put in, or in place of those with the same serial. */
  units: UnitRow[];
  /** Serials that leave the snapshot: shipped, cancelled, or scanned in error. */
  gone: string[];
  stations: StationRow[];
  /** All open stops, all the floor said about its time, and of its heads. */
  stops: StopRow[];
  floorTime: Snapshot['floorTime'];
  crew: Snapshot['crew'];
  exits: Snapshot['exits'];
  unreleasedShips: Snapshot['unreleasedShips'];
}

/** A new version of the set-up holds; the client fetches a fresh snapshot. */
export interface SetupChanged {
  version: number;
}

export interface ServerToClientEvents {
  changed: (change: Changed) => void;
  setupChanged: (change: SetupChanged) => void;
  /** Every kiosk of the plant, whenever one of them said something new. */
  devices: (rows: DeviceRow[]) => void;
  /** A forecast was made; who shows it fetches it. */
  forecastMade: (told: ForecastTold) => void;
}

/** Clients state facts over HTTP only. A kiosk says of itself what it holds back: `readDeviceState` reads it. */
export interface ClientToServerEvents {
  device: (state: unknown) => void;
}

/**
 * `snapshot` with `change` put in, or null when `change` does not follow it and a fresh snapshot is needed. A change that the snapshot
 * holds already, fetched while the announcement was on its way, changes nothing.
 */
export function applyChange(snapshot: Snapshot, change: Changed): Snapshot | null {
  if (change.version <= snapshot.version) return snapshot;
  if (change.from !== snapshot.version) return null;
  const units = new Map(snapshot.units.map((row) => [row.state.unit, row]));
  for (const serial of change.gone) units.delete(serial);
  for (const row of change.units) units.set(row.state.unit, row);
  const stations = new Map(snapshot.stations.map((row) => [row.station, row]));
  for (const row of change.stations) stations.set(row.station, row);
  return {
    ...snapshot,
    version: change.version,
    at: change.at,
    units: [...units.values()],
    stations: [...stations.values()],
    stops: change.stops,
    floorTime: change.floorTime,
    crew: change.crew,
    exits: change.exits,
    unreleasedShips: change.unreleasedShips,
  };
}
