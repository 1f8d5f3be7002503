import type { Stretch } from '../calendar/stretches.ts';
import type { WorkingTime } from '../calendar/working-time.ts';
import type { Instant, Minutes } from '../units.ts';
import type { Visit, VisitMinutes, VisitMinuteState } from './visit.ts';

/** A hold or stop as far as this visit is concerned. */
export interface Cause {
  id: string;
  kind: 'hold' | 'stop';
  opened: Instant;
  cleared: Instant | null;
}

/** What decides the state of each minute of a visit (definitions §3). */
export interface VisitFrame {
  arrived: Instant;
  finished: Instant | null;
  /** The leave, or the instant asked for. */
  until: Instant;
  workHolds: Cause[];
  keepingHolds: Cause[];
  stops: Cause[];
  /** Roll lag begins here; Infinity when it has not begun. */
  rollLagFrom: Instant;
}

const openAt = (cause: Cause, t: Instant): boolean => cause.opened <= t && (cause.cleared === null || t < cause.cleared);

/** The cause among those open at `t` that opened first: it owns the minute. */
function ownerAt(causes: readonly Cause[], t: Instant): Cause | null {
  let owner: Cause | null = null;
  for (const cause of causes) {
    if (!openAt(cause, t)) continue;
    if (!owner || cause.opened < owner.opened || (cause.opened === owner.opened && cause.id < owner.id)) owner = cause;
  }
  return owner;
}

/** What a minute at `t` is, first match wins: held, waiting (blocked or roll lag), stopped, work. */
export function stateAt(frame: VisitFrame, t: Instant): { state: VisitMinuteState; owner: Cause | null } {
  if (frame.finished !== null && t >= frame.finished) {
    const hold = ownerAt(frame.keepingHolds, t);
    return hold ? { state: 'held', owner: hold } : { state: t >= frame.rollLagFrom ? 'rollLag' : 'blocked', owner: null };
  }
  const hold = ownerAt(frame.workHolds, t);
  if (hold) return { state: 'held', owner: hold };
  const stop = ownerAt(frame.stops, t);
  return stop ? { state: 'stopped', owner: stop } : { state: 'work', owner: null };
}

/** The stretches of the visit in which nothing changes. */
function steadyStretches(frame: VisitFrame): Stretch[] {
  const edges = [frame.arrived, frame.finished ?? frame.until, frame.rollLagFrom, frame.until];
  for (const cause of [...frame.workHolds, ...frame.keepingHolds, ...frame.stops]) edges.push(cause.opened, cause.cleared ?? frame.until);
  const sorted = [...new Set(edges)].filter((edge) => edge >= frame.arrived && edge <= frame.until).sort((a, b) => a - b);
  return sorted.slice(1).map((to, i) => ({ from: sorted[i]!, to }));
}

/** The minutes of a visit by state, and held and stopped ones by the cause that owns them. */
export function minutesOf(frame: VisitFrame, time: WorkingTime): { minutes: VisitMinutes; causes: Visit['causes'] } {
  const minutes: VisitMinutes = { held: 0, blocked: 0, rollLag: 0, stopped: 0, work: 0 };
  const causes = new Map<string, Visit['causes'][number]>();
  for (const { from, to } of steadyStretches(frame)) {
    const { state, owner } = stateAt(frame, from);
    const worked = time.workingBetween(from, to);
    minutes[state] += worked;
    if (!owner || worked === 0) continue;
    const told = causes.get(owner.id);
    if (told) told.minutes += worked;
    else causes.set(owner.id, { id: owner.id, kind: owner.kind, minutes: worked });
  }
  return { minutes, causes: [...causes.values()] };
}

/** The instant at which work, holds and stops left out, reached `standard`; null when it did not by `frame.until`. */
export function standardReached(frame: VisitFrame, time: WorkingTime, standard: Minutes): Instant | null {
  let left = standard;
  for (const { from, to } of steadyStretches({ ...frame, finished: null })) {
    if (left <= 0) return from;
    if (stateAt({ ...frame, finished: null }, from).state !== 'work') continue;
    const worked = time.workingBetween(from, to);
    if (worked >= left) return time.addWorking(from, left);
    left -= worked;
  }
  return left <= 0 ? frame.until : null;
}
