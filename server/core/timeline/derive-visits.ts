import type { Stretch } from '../calendar/stretches.ts';
import { type WorkingTime, workingTimeOf } from '../calendar/working-time.ts';
import { invariant } from '../invariant.ts';
import { findStation } from '../setup/setup-at.ts';
import { type Instant, type Minutes, MS_PER_MINUTE } from '../units.ts';
import { byStation, type Derivation, keepsHere, stepOf } from './derivation.ts';
import { freeStretches } from './free-place.ts';
import type { LineHistory } from './line-history.ts';
import { leaveOf, type LineStay, occupancyOf } from './occupancy.ts';
import { missedStations } from './missed-stations.ts';
import { allReadyAt } from './together.ts';
import type { Visit } from './visit.ts';
import { type Cause, minutesOf, standardReached, stateAt, type VisitFrame } from './visit-minutes.ts';

/** What the derivation of a line's minutes at `at` shares. */
export function derivationAt(history: LineHistory, at: Instant): Derivation {
  const floorTime = history.floorTime.filter((said) => said.happened <= at);
  const timeAt = (station: string | null): WorkingTime => workingTimeOf(history.setups, { line: history.line, station }, floorTime);
  const lineTime = timeAt(null);
  const times = new Map<string, WorkingTime>();
  const timeOf = (station: string): WorkingTime => {
    const time = times.get(station) ?? (hasOwnTime(history, station) ? timeAt(station) : lineTime);
    times.set(station, time);
    return time;
  };
  return { history, at, occupancy: occupancyOf(history, at), stopsOf: byStation(history.stops), lineTime, timeOf, readyAt: new Map() };
}

/** Whether the station ever had a calendar of its own, or a word of its own from the floor; else it works when its line does. */
export function hasOwnTime({ setups, floorTime }: LineHistory, station: string): boolean {
  return floorTime.some((said) => said.station === station) || setups.some(({ plant }) => (findStation(plant, station)?.station.calendar ?? null) !== null);
}

/** Every visit of the line as known at `at`, with its minutes (definitions §3, §4), in order of arrival. */
export function deriveVisits(history: LineHistory, at: Instant): Visit[] {
  const derivation = derivationAt(history, at);
  const visits: Visit[] = [];
  for (const { stays } of derivation.occupancy.byStation.values()) for (const stay of stays) visits.push(visitOf(derivation, stay));
  visits.push(...missedStations(history, at, derivation.timeOf));
  return visits.sort((a, b) => (a.arrived ?? 0) - (b.arrived ?? 0) || (a.unit < b.unit ? -1 : 1));
}

/** A visit that ended, with the fact that began it. */
export interface EndedVisit {
  arrivedBy: string;
  visit: Visit;
}

/** Every visit of the line that ended in [from, to). `derivation` is that of all there is of the line, at Infinity: only a fact that comes late changes a visit. */
export function endedVisits(derivation: Derivation, from: Instant, to: Instant): EndedVisit[] {
  const ended: EndedVisit[] = [];
  for (const { stays } of derivation.occupancy.byStation.values()) {
    for (const stay of stays) if (stay.left !== null && stay.left >= from && stay.left < to) ended.push({ arrivedBy: stay.arrivedBy, visit: visitOf(derivation, stay) });
  }
  return ended;
}

/** A stay with what decides its minutes: its finish is told or assumed, roll lag has not been looked for. */
export interface FramedStay {
  frame: VisitFrame;
  standard: Minutes;
  next: string | null;
  together: boolean;
  finishAssumed: boolean;
  /** The stretches of a free place ahead: only told for a line that moves as ready. */
  free(): Stretch[];
}

export function framedStay(derivation: Derivation, stay: LineStay): FramedStay {
  const { step, next, together } = stepOf(derivation.history, stay);
  const frame = frameOf(derivation, stay, next);
  const standard = step?.standard ?? 0;
  let known: Stretch[] | null = null;
  const free = (): Stretch[] => (known ??= together ? [] : freeStretches(derivation.occupancy, stay, next, frame.until, derivation.history.setups));
  const finishAssumed = stay.finished === null && stay.left !== null;
  if (finishAssumed) frame.finished = together ? stay.left : assumedFinish(frame, derivation.timeOf(stay.station), standard, free());
  return { frame, standard, next, together, finishAssumed, free };
}

function visitOf(derivation: Derivation, stay: LineStay): Visit {
  const { history, at } = derivation;
  const time = derivation.timeOf(stay.station);
  const { frame, standard, together, finishAssumed, free } = framedStay(derivation, stay);
  if (frame.finished !== null) {
    const last = free().at(-1);
    const freeFrom = together ? allReadyAt(derivation, frame.until) : (last?.to === frame.until ? last.from : Number.POSITIVE_INFINITY);
    frame.rollLagFrom = Math.max(frame.finished, freeFrom, lastHoldEnd(frame));
  }
  const { minutes, causes } = minutesOf(frame, time);
  const dwell = minutes.held + minutes.blocked + minutes.rollLag + minutes.stopped + minutes.work;
  invariant(Math.abs(dwell - time.workingBetween(stay.arrived, frame.until)) < 1e-6, `the minutes of ${stay.unit} at ${stay.station} do not add up to its dwell`);
  const done = frame.finished !== null;
  return {
    unit: stay.unit, line: history.line, station: stay.station, notScanned: false, arrived: stay.arrived, finished: frame.finished, finishAssumed,
    left: stay.left, leftHow: stay.leftHow, provisional: stay.left === null, standard, minutes, dwell, elapsed: (frame.until - stay.arrived) / MS_PER_MINUTE,
    stationDelay: minutes.held + minutes.stopped + Math.max(0, minutes.work - standard) + minutes.rollLag,
    recovered: done ? Math.max(0, standard - minutes.work) : 0,
    state: stay.left === null ? stateAt(frame, at).state : null, causes,
  };
}

function frameOf({ stopsOf, at }: Derivation, stay: LineStay, next: string | null): VisitFrame {
  const until = Math.min(leaveOf(stay), at);
  const known = stay.of.holds.filter((hold) => hold.opened <= until && (hold.cleared === null || hold.cleared > stay.arrived) && hold.opened <= at);
  const cause = (kind: Cause['kind']) => ({ id, opened, cleared }: { id: string; opened: Instant; cleared: Instant | null }): Cause =>
    ({ id, kind, opened, cleared: cleared !== null && cleared <= at ? cleared : null });
  const stops = (stopsOf.get(stay.station) ?? []).filter((stop) => stop.opened <= until && (stop.cleared === null || stop.cleared > stay.arrived));
  return {
    arrived: stay.arrived, finished: stay.finished, until,
    workHolds: known.filter((hold) => hold.keepsFrom === 'work').map(cause('hold')),
    keepingHolds: known.filter((hold) => keepsHere(hold, next)).map(cause('hold')),
    stops: stops.map(cause('stop')),
    rollLagFrom: Number.POSITIVE_INFINITY,
  };
}

/** The end of the last hold that kept the finished unit here; Infinity when one was still open at the end. */
function lastHoldEnd(frame: VisitFrame): Instant {
  let end = Number.NEGATIVE_INFINITY;
  for (const hold of frame.keepingHolds) {
    const cleared = hold.cleared ?? Number.POSITIVE_INFINITY;
    if (hold.opened < frame.until && cleared > frame.finished!) end = Math.max(end, cleared >= frame.until && hold.cleared === null ? Number.POSITIVE_INFINITY : cleared);
  }
  return end;
}

/**
 * With no finish scanned (definitions §3): the start of the stretch without a free place ahead that ended at the leave, within a working
 * minute, but not before work reached standard; if there is none, the leave.
 */
function assumedFinish(frame: VisitFrame, time: WorkingTime, standard: number, free: readonly { from: Instant; to: Instant }[]): Instant {
  const last = free.at(-1);
  const endsFree = last !== undefined && last.to === frame.until;
  const takenTo = endsFree ? last.from : frame.until;
  const takenFrom = endsFree ? (free.at(-2)?.to ?? frame.arrived) : (last?.to ?? frame.arrived);
  if (takenFrom >= takenTo || time.workingBetween(takenTo, frame.until) > 1) return frame.until;
  const reached = standardReached(frame, time, standard);
  return reached === null ? frame.until : Math.min(frame.until, Math.max(takenFrom, reached));
}
