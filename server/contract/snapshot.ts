import type { Plant } from '../core/setup/plant.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import type { UnreleasedShip } from '../core/gates/unreleased-ship.ts';
import type { Exit } from '../core/timeline/line-output.ts';
import type { Crew, CrewWord } from '../core/timeline/crew.ts';
import type { FloorTime } from '../core/timeline/line-history.ts';
import type { Visit } from '../core/timeline/visit.ts';
import type { Instant, LocalDate, Minutes } from '../core/units.ts';

/**
 * What every screen draws from: GET /plants/:plant/snapshot, and the `changed` event carries the parts that moved.
 * `version` is the number of the last fact (or set-up load) in it; two servers give the same version the same content.
 */
export interface Snapshot {
  version: number;
  /** The instant the minutes of open visits are told at; a screen adds working time since in the state they were in. */
  at: Instant;
  plant: Plant;
  setupVersion: number;
  /** Units that are not shipped and not cancelled, and those scanned but unknown (`state.known` false). */
  units: UnitRow[];
  stops: StopRow[];
  floorTime: FloorTime[];
  stations: StationRow[];
  /** What was said of heads and loans in the last two days, in order: the crew of the shift now is told from it. */
  crew: CrewWord[];
  /** Units that left each line at its end since the start of the line's last shift (definitions §4, pace). */
  exits: Exit[];
  /** Units that are gone without a release and without an override, the latest first. */
  unreleasedShips: UnreleasedShip[];
}

export interface UnitRow {
  state: UnitState;
  /** The open visit at its station, with minutes told at `Snapshot.at`. */
  visit: Visit | null;
  /** Station it goes to next on its route, or null at the end. */
  next: string | null;
  /** When its open visit would finish, its line's end be left, and all its route be done, at standard. */
  projectedFinish: Instant | null;
  projectedExit: Instant | null;
  projectedReady: Instant | null;
  late: LateRow | null;
  /** When it was manufactured, as its certification label counts it (`LabelSetup.manufactured`); null before, and where the plant has no labels. */
  manufactured: Instant | null;
  /** By zone that is not covered: when, at standard and with the waiting for places, the next station that covers it will be finished. */
  coveredAt: Record<string, Instant>;
  flags: { fact: string; code: string; detail: string; happened: Instant }[];
}

export interface LateRow {
  promise: LocalDate;
  /** The instant the promise runs out: the end of that day in the plant's zone. */
  due: Instant;
  late: boolean;
  /** Working minutes after `due` that it is, or at standard will be, ready. 0 when in time. */
  minutesLate: Minutes;
  calendarDaysLate: number;
}

export interface StopRow {
  id: string;
  station: string;
  reason: string;
  note: string;
  opened: Instant;
  who: string;
}

export interface StationRow {
  line: string | null;
  station: string;
  units: string[];
  /** Free places now, and what a free place is now (definitions §3). */
  free: number;
  freeState: 'starved' | 'idle' | null;
  /** Its heads in the shift now. */
  crew: Crew;
}
