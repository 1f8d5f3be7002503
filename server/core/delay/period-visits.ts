import { type Stretch, without } from '../calendar/stretches.ts';
import type { WorkingTime } from '../calendar/working-time.ts';
import { framedStay, hasOwnTime } from '../timeline/derive-visits.ts';
import type { Derivation } from '../timeline/derivation.ts';
import { leaveOf, type LineStay } from '../timeline/occupancy.ts';
import { type Cause, minutesOf, standardReached, type VisitFrame } from '../timeline/visit-minutes.ts';
import { type Instant, MS_PER_MINUTE } from '../units.ts';

/** Working milliseconds: whole ones, so that what is charged adds up exactly. */
export type WorkingMs = number;

/** Held or stopped minutes of a visit that one hold, stop or closed stretch owns. */
export interface Taken {
  id: string;
  kind: 'hold' | 'stop' | 'calendar';
  opened: Instant;
  beforeFinish: WorkingMs;
  afterFinish: WorkingMs;
}

/** What happened in [from, to) of a visit, in working time of the line (definitions §5). */
export interface PeriodVisit {
  stay: LineStay;
  finished: Instant | null;
  standard: WorkingMs;
  /** What was left to do at `from`, or the standard when it arrived later. */
  toDo: WorkingMs;
  work: WorkingMs;
  /** What is left to do at `to`: 0 when finished. */
  remaining: WorkingMs;
  /** When work passed the standard; null when it did not. */
  overFrom: Instant | null;
  taken: Taken[];
  /** Holds that kept the finished unit here, each until it was cleared, the unit left or the period ended. */
  keptBy: { id: string; until: Instant }[];
}

export interface Period {
  from: Instant;
  to: Instant;
  /** Working time of the line. */
  time: WorkingTime;
}

export const toMs = (minutes: number): WorkingMs => Math.round(minutes * MS_PER_MINUTE);

/** The visits that reach into the period, as known at its end, by unit in order of arrival. */
export function periodVisits(derivation: Derivation, period: Period): Map<string, PeriodVisit[]> {
  const byUnit = new Map<string, PeriodVisit[]>();
  for (const [station, { stays }] of derivation.occupancy.byStation) {
    const closed = closedStretches(derivation, station, period);
    for (const stay of stays) {
      if (leaveOf(stay) <= period.from) continue;
      const visit = periodVisit(derivation, stay, period, closed);
      const known = byUnit.get(stay.unit);
      if (known) known.push(visit);
      else byUnit.set(stay.unit, [visit]);
    }
  }
  for (const visits of byUnit.values()) visits.sort((a, b) => a.stay.arrived - b.stay.arrived);
  return byUnit;
}

/** When the line works and the station does not (definitions §5: a stop with cause calendar). */
function closedStretches({ history, timeOf }: Derivation, station: string, { from, to, time }: Period): Stretch[] {
  if (!hasOwnTime(history, station)) return [];
  return time.stretches(from, to).flatMap((stretch) => timeOf(station).stretches(stretch.from, stretch.to).reduce(without, [stretch]));
}

function periodVisit(derivation: Derivation, stay: LineStay, { from, to, time }: Period, closed: readonly Stretch[]): PeriodVisit {
  const { frame: own, standard } = framedStay(derivation, stay);
  const closures = closed.filter((stretch) => stretch.from < own.until && stretch.to > stay.arrived)
    .map((stretch): Cause => ({ id: `calendar ${stay.station} ${stretch.from}`, kind: 'stop', opened: stretch.from, cleared: stretch.to }));
  const frame: VisitFrame = closures.length === 0 ? own : { ...own, stops: [...own.stops, ...closures] };
  const start = Math.max(from, stay.arrived);
  const end = Math.max(start, Math.min(frame.finished ?? to, frame.until));
  const before = minutesOf({ ...frame, arrived: start, finished: null, until: end }, time);
  const after = minutesOf({ ...frame, arrived: end, until: Math.max(end, frame.until) }, time);
  const stationTime = derivation.timeOf(stay.station);
  const workUntil = (t: Instant): number =>
    t <= stay.arrived ? 0 : minutesOf({ ...own, finished: null, until: Math.min(t, own.finished ?? t, own.until) }, stationTime).minutes.work;
  const left = (t: Instant): WorkingMs => (own.finished !== null && own.finished <= t ? 0 : toMs(Math.max(0, standard - workUntil(t))));
  const work = toMs(before.minutes.work);
  return {
    stay, finished: frame.finished, standard: toMs(standard), toDo: left(from), work, remaining: frame.finished === null ? left(to) : 0,
    overFrom: standardReached(frame, time, standard), taken: takenOf(frame, before.causes, after.causes),
    keptBy: keptBy(frame, end),
  };
}

type OwnedMinutes = ReturnType<typeof minutesOf>['causes'];

function takenOf(frame: VisitFrame, before: OwnedMinutes, after: OwnedMinutes): Taken[] {
  const openedBy = new Map([...frame.workHolds, ...frame.keepingHolds, ...frame.stops].map((cause) => [cause.id, cause.opened]));
  const taken = new Map<string, Taken>();
  const take = ({ id, kind, minutes }: OwnedMinutes[number], when: 'beforeFinish' | 'afterFinish'): void => {
    const known = taken.get(id) ?? { id, kind: id.startsWith('calendar ') ? 'calendar' : kind, opened: openedBy.get(id)!, beforeFinish: 0, afterFinish: 0 };
    known[when] += toMs(minutes);
    taken.set(id, known);
  };
  for (const cause of before) take(cause, 'beforeFinish');
  for (const cause of after) take(cause, 'afterFinish');
  return [...taken.values()];
}

function keptBy(frame: VisitFrame, end: Instant): PeriodVisit['keptBy'] {
  if (frame.finished === null) return [];
  return frame.keepingHolds.filter((hold) => hold.opened < frame.until && (hold.cleared ?? Number.POSITIVE_INFINITY) > end)
    .map(({ id, cleared }) => ({ id, until: Math.min(cleared ?? frame.until, frame.until) }));
}
