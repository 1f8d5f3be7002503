import type { Stretch } from '../calendar/stretches.ts';
import type { SetupVersion } from '../setup/plant.ts';
import type { Instant } from '../units.ts';
import { fits, leaveOf, type LineStay, type Occupancy, stationAt, staysDuring } from './occupancy.ts';

/**
 * The stretches of [stay.arrived, until) in which a place ahead was free for this unit in its turn (definitions §3): at `next` there
 * was room for it and for those before it in turn that stood ready. Before it in turn is who really came to `next` first; a unit that
 * came before one that has not; of two that have not, who arrived here first. Ready is finished, or, where units may not pass, merely
 * ahead. With no station ahead the place is always free.
 */
export function freeStretches(occupancy: Occupancy, stay: LineStay, next: string | null, until: Instant, setups: readonly SetupVersion[]): Stretch[] {
  const from = stay.arrived;
  if (next === null) return until > from ? [{ from, to: until }] : [];
  const there = staysDuring(occupancy, next, from, until).filter((other) => other.of !== stay.of);
  const mayPass = stationAt(setups, from, stay.station)?.unitsMayPass ?? true;
  const ahead = staysDuring(occupancy, stay.station, from, until).filter((other) => other.of !== stay.of && isBefore(other, stay, next, occupancy.at));
  const edges = [from, ...there.flatMap((other) => [other.arrived, leaveOf(other)]), ...ahead.flatMap((other) => [other.arrived, other.finished ?? from, leaveOf(other)])];
  const sorted = [...new Set(edges)].filter((edge) => edge >= from && edge < until).sort((a, b) => a - b);
  const target = stationAt(setups, from, next);
  const free: Stretch[] = [];
  sorted.forEach((edge, i) => {
    const taken = there.filter((other) => other.arrived <= edge && edge < leaveOf(other));
    const ready = ahead.filter((other) => edge < leaveOf(other) && other.arrived <= edge && (mayPass ? other.finished !== null && other.finished <= edge : true));
    if (!fits(target, [...taken, ...ready], stay, setups)) return;
    const to = sorted[i + 1] ?? until;
    const last = free[free.length - 1];
    if (last && last.to === edge) last.to = to;
    else free.push({ from: edge, to });
  });
  return free;
}

function isBefore(other: LineStay, stay: LineStay, next: string, at: Instant): boolean {
  const theirs = cameTo(other, next, at);
  const ours = cameTo(stay, next, at);
  if (theirs !== ours) return theirs < ours;
  return other.arrived < stay.arrived || (other.arrived === stay.arrived && other.arrivedBy < stay.arrivedBy);
}

/** When the unit came to `next` after this stay; Infinity when it has not by the instant asked for. */
function cameTo({ of, arrived, left }: LineStay, next: string, at: Instant): Instant {
  if (left === null) return Number.POSITIVE_INFINITY;
  return of.stays.find((stay) => stay.station === next && stay.arrived > arrived && stay.arrived <= at)?.arrived ?? Number.POSITIVE_INFINITY;
}
