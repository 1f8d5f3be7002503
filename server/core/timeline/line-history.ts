import type { KeepsFrom } from '../facts/fact.ts';
import type { SetupVersion } from '../setup/plant.ts';
import type { Instant } from '../units.ts';

export type LeftHow = 'scanned' | 'short' | 'implied' | 'rolled' | 'pulledOff' | 'parked' | 'shipped' | 'evicted' | 'notFound';

/** One stay of a unit at a station of a line, as its own facts say it, before minutes are told. */
export interface Stay {
  unit: string;
  line: string;
  station: string;
  arrived: Instant;
  arrivedBy: string;
  finished: Instant | null;
  left: Instant | null;
  leftHow: LeftHow | null;
}

export interface HoldInterval {
  id: string;
  unit: string;
  reason: string;
  keepsFrom: KeepsFrom;
  fromStation: string | null;
  opened: Instant;
  cleared: Instant | null;
}

export interface StopInterval {
  id: string;
  station: string;
  reason: string;
  opened: Instant;
  cleared: Instant | null;
}

/** What the floor said on the day of working time, for one line or one station (the other is null). */
export interface FloorTime {
  kind: 'openUntil' | 'goneHome';
  line: string | null;
  station: string | null;
  happened: Instant;
  /** End of the work for `openUntil`, else null. */
  until: Instant | null;
}

export interface UnitHistory {
  unit: string;
  model: string;
  options: string[];
  sequence: number | null;
  plannedRelease: Instant | null;
  /** In order of arrival, over all lines. */
  stays: Stay[];
  holds: HoldInterval[];
  /** Stretches pulled off the line; `to` null while it is off. */
  offLine: { from: Instant; to: Instant | null }[];
  /** Shipped or cancelled: no longer comes to any station. */
  gone: Instant | null;
}

/** Everything the minutes of a line are a function of (definitions §2). */
export interface LineHistory {
  line: string;
  setups: SetupVersion[];
  units: UnitHistory[];
  stops: StopInterval[];
  floorTime: FloorTime[];
}
