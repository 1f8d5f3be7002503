import type { Snapshot, StopRow, UnitRow } from '../../server/contract/snapshot.ts';
import { workingTimeOf } from '../../server/core/calendar/working-time.ts';
import { instantOfLocal, localOf, addDays } from '../../server/core/calendar/zone.ts';
import { findStation } from '../../server/core/setup/setup-at.ts';
import type { Line, Station } from '../../server/core/setup/plant.ts';
import type { Instant } from '../../server/core/units.ts';

/** What the lead at a station has to know: who is here, who comes, what is stopped. */
export interface StationView {
  station: Station;
  line: Line | null;
  /** In order of arrival. */
  here: UnitRow[];
  /** Units whose next station this is, in the order in which they will come; at the first station the schedule's next. */
  coming: UnitRow[];
  stop: StopRow | null;
}

const SHOWN_COMING = 4;

export function stationView(snapshot: Snapshot, code: string): StationView | null {
  const found = findStation(snapshot.plant, code);
  if (!found) return null;
  const here = snapshot.units.filter((row) => row.state.place?.station === code).toSorted((a, b) => a.state.place!.since - b.state.place!.since);
  return { ...found, here, coming: comingTo(snapshot, found.line, code).slice(0, SHOWN_COMING), stop: snapshot.stops.find((stop) => stop.station === code) ?? null };
}

function comingTo(snapshot: Snapshot, line: Line | null, code: string): UnitRow[] {
  const onTheWay = snapshot.units.filter((row) => row.next === code && row.state.place?.station !== code && row.state.stage !== 'scheduled');
  const order = (row: UnitRow): number => row.projectedFinish ?? row.state.place?.since ?? Number.POSITIVE_INFINITY;
  onTheWay.sort((a, b) => order(a) - order(b));
  if (line?.stations[0]?.code !== code || line.purpose !== 'main') return onTheWay;
  const scheduled = snapshot.units.filter((row) => row.state.stage === 'scheduled' && row.state.known && row.state.place === null);
  return [...onTheWay, ...scheduled.toSorted((a, b) => (a.state.sequence ?? Infinity) - (b.state.sequence ?? Infinity))];
}

/** The one thing to do next for the unit that stands here: what stands in its way first, else its own next step. */
export type NextStep = { kind: 'clearStop'; stop: string; reason: string } | { kind: 'clearHold'; hold: string; reason: string } | { kind: 'finish' | 'leave' };

export function nextStep({ stop, line }: StationView, row: UnitRow): NextStep {
  // A bay or yard place has no work of its own to finish.
  const finished = line === null || row.state.place?.finished !== null;
  if (stop && !finished) return { kind: 'clearStop', stop: stop.id, reason: stop.reason };
  const hold = row.state.holds.find((one) => one.keepsFrom === (finished ? 'leaving' : 'work'));
  if (hold) return { kind: 'clearHold', hold: hold.id, reason: hold.reason };
  return { kind: finished ? 'leave' : 'finish' };
}

/** What a scan of `serial` at the station states: the unit comes, or its work is finished, or it goes. */
export function scanMeans(view: StationView, serial: string): 'arrive' | 'putBack' | 'finish' | 'leave' {
  const here = view.here.find((row) => row.state.unit === serial);
  if (here) return view.line !== null && here.state.place?.finished === null ? 'finish' : 'leave';
  const off = view.coming.find((row) => row.state.unit === serial)?.state.stage === 'offLine';
  return off ? 'putBack' : 'arrive';
}

/** Whether somebody should be at work there now: in working time, or in a break after which the shift goes on. A place outside every line is never asked. */
export function isManned(snapshot: Snapshot, { station, line }: StationView, now: Instant): boolean {
  if (!line) return true;
  const setups = [{ version: snapshot.setupVersion, validFrom: 0, plant: snapshot.plant }];
  const time = workingTimeOf(setups, { line: line.code, station: station.code }, snapshot.floorTime);
  if (time.isWorking(now)) return true;
  const shift = time.shiftAt(now);
  return shift !== null && time.stretches(now, shift.end).length > 0;
}

/** The next instant at which the clock shows `time`: today's, or tomorrow's when today's is over. */
export function comingInstant(zone: string, time: string, now: Instant): Instant {
  const { date } = localOf(zone, now);
  const today = instantOfLocal(zone, date, time);
  return today > now ? today : instantOfLocal(zone, addDays(date, 1), time);
}

/** The instant that "it was at `time`" means: today's, or yesterday's when today's is still to come. */
export function toldInstant(zone: string, time: string, now: Instant): Instant {
  const { date } = localOf(zone, now);
  const today = instantOfLocal(zone, date, time);
  return today <= now ? today : instantOfLocal(zone, addDays(date, -1), time);
}
