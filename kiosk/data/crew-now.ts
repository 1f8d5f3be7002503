import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { Shift } from '../../server/core/calendar/shifts.ts';
import { workingTimeOf } from '../../server/core/calendar/working-time.ts';
import { addDays, instantOfLocal, localOf } from '../../server/core/calendar/zone.ts';
import type { Line, Station } from '../../server/core/setup/plant.ts';
import { findStation } from '../../server/core/setup/setup-at.ts';
import { type Crew, crewAt, crewShift, type CrewWord, lentAt, wordsOfShift } from '../../server/core/timeline/crew.ts';
import type { Instant } from '../../server/core/units.ts';

type Said = Pick<Snapshot, 'plant' | 'setupVersion' | 'floorTime' | 'crew'>;

/** A station of a line with its heads. */
export interface CrewRow {
  line: Line;
  station: Station;
  crew: Crew;
  /** Heads lent to it, less those it lends. */
  lent: number;
  /** The shift its heads are counted for; null when none is on or about to start. */
  shift: Shift | null;
}

function shiftOf({ plant, setupVersion, floorTime }: Said, line: Line, station: Station, now: Instant): Shift | null {
  const setups = [{ version: setupVersion, validFrom: 0, plant }];
  return crewShift(workingTimeOf(setups, { line: line.code, station: station.code }, floorTime), now);
}

/** The crew of the station of `code` at `now`, by all that was said; null for a place outside every line. */
export function crewOf(view: Said, code: string, now: Instant): Crew | null {
  const found = findStation(view.plant, code);
  if (!found?.line) return null;
  // Most stations have nothing said of them: no calendar is asked for those.
  const said = view.crew.filter(({ station, from }) => station === code || from === code);
  return crewAt(found.station, said, said.length === 0 ? null : shiftOf(view, found.line, found.station, now), now);
}

/** Stations with a standard crew, or with heads lent to them, in the order of their lines. */
export function crewRows(view: Said, now: Instant): CrewRow[] {
  return view.plant.lines.flatMap((line) => line.stations.map((station) => {
    const shift = shiftOf(view, line, station, now);
    const lent = shift ? lentAt(station.code, wordsOfShift(view.crew, shift, now), now) : 0;
    return { line, station, crew: crewAt(station, view.crew, shift, now), lent, shift };
  })).filter(({ crew, lent }) => crew.planned > 0 || crew.here > 0 || lent !== 0);
}

export function crewTotals(rows: readonly CrewRow[]): { planned: number; here: number; short: number; counted: number } {
  const sum = (of: (row: CrewRow) => number): number => rows.reduce((total, row) => total + of(row), 0);
  return { planned: sum(({ crew }) => crew.planned), here: sum(({ crew }) => crew.here), short: sum(({ crew }) => crew.short), counted: rows.filter(({ crew }) => crew.stated).length };
}

/** Heads to state of a station so that `here` are there with those lent; never below none. */
export function headsFor({ lent }: Pick<CrewRow, 'lent'>, here: number): number {
  return Math.max(0, here - lent);
}

/** Loans said in the shift of the station that receives them, in order. */
export function loansOf(view: Said, rows: readonly CrewRow[], now: Instant): CrewWord[] {
  return view.crew.filter((word) => {
    const shift = rows.find(({ station }) => station.code === word.station)?.shift;
    return word.kind === 'loan' && shift && wordsOfShift([word], shift, now).length > 0;
  });
}

/** The instant that "until `time`" means: the next time the plant's clock says so; null for an empty one. */
export function untilInstant(zone: string, time: string, now: Instant): Instant | null {
  if (time === '') return null;
  const { date } = localOf(zone, now);
  const today = instantOfLocal(zone, date, time);
  return today > now ? today : instantOfLocal(zone, addDays(date, 1), time);
}
