import { leaveOf } from '../timeline/occupancy.ts';
import type { Instant } from '../units.ts';
import { aDeviation, type Deviation, type ValueChange } from './deviation.ts';
import type { Gap, Plan } from './plan.ts';
import { comeAt, earliest, forgetLeaves, type Recursion, releaseOf } from './recursion.ts';
import type { Rolls } from './plan-rolls.ts';

/**
 * Goes through what was built and what is still to come, everything else put in, and tells what the movements add: roll lag, late and
 * early release, and gaps off the line. Leaves `recursion` with the values of all that was built.
 */
export function movementDeviations(plan: Plan, recursion: Recursion, rolls: Rolls): Deviation[] {
  const { graph } = recursion;
  const told: Deviation[] = [];
  forgetLeaves(recursion);
  for (let p = 0; p < graph.order.length; p++) {
    const node = graph.order[p]!;
    if (node >= plan.steps.length) told.push(...rollDeviation(plan, recursion, rolls, p));
    else if (graph.standing[node] === 1) comeAt(recursion, node, 0);
    else told.push(...stepDeviation(plan, recursion, rolls, p));
    if (node < plan.steps.length && graph.parted[node] === 1) part(plan, recursion, node);
  }
  return told;
}

function rollDeviation(plan: Plan, recursion: Recursion, rolls: Rolls, p: number): Deviation[] {
  const { graph, values, steps } = recursion;
  const node = graph.order[p]!;
  const number = node - steps;
  const happened = rolls.instants[number];
  const unit = graph.release[node]!;
  // A roll before the planned release of the unit that came with it did not wait for it.
  if (unit >= 0 && happened !== undefined && releaseOf(recursion, unit, values.rollRelease) > plan.after(happened)) values.rollRelease[unit] = Number.NEGATIVE_INFINITY;
  const base = earliest(recursion, p);
  const at = happened !== undefined ? plan.after(happened) : Math.max(plan.end, base);
  const lag = at - base;
  comeAt(recursion, node, at);
  if (lag === 0) return [];
  values.rollLag[number] = lag;
  const changes: ValueChange[] = [{ what: 'rollLag', index: number, how: 'to', value: lag }];
  if (happened !== undefined && unit >= 0 && plan.units[unit]!.released === happened && graph.ready.start[p + 1]! - graph.ready.start[p]! <= (number > 0 ? 1 : 0)) {
    // None moved but the unit that was released: it found the first place empty and was late.
    const { of, stays } = plan.units[unit]!;
    return [aDeviation({ kind: 'lateRelease', unit: of.unit, station: stays[0]!.station, began: beganAt(plan, base, null), fact: stays[0]!.arrivedBy, local: lag, changes })];
  }
  return [aDeviation({ kind: 'rollLag', began: beganAt(plan, base, null), local: lag, changes })];
}

function stepDeviation(plan: Plan, recursion: Recursion, rolls: Rolls, p: number): Deviation[] {
  const { graph, values } = recursion;
  const node = graph.order[p]!;
  const { came, unit, visit } = plan.steps[node]!;
  const real = came === Number.POSITIVE_INFINITY ? null : plan.after(came);
  const releases = graph.release[node]! >= 0 && plan.units[unit]!.released !== null;
  const planned = releases ? releaseOf(recursion, unit, values.release) : 0;
  const told: Deviation[] = [];
  if (releases && real !== null && planned > real) told.push(earlyRelease(plan, recursion, unit, real - planned));
  const base = earliest(recursion, p);
  const at = real ?? Math.max(plan.end, base);
  const lag = at - base;
  comeAt(recursion, node, at);
  values.lag[node] = lag;
  const before = graph.prev[node]!;
  const gap = gapBefore(plan, node);
  if (gap) {
    told.push(gapDeviation(plan, recursion, gap, node, before, lag));
    return told;
  }
  const { of } = plan.units[unit]!;
  const changes: ValueChange[] = [{ what: 'lag', index: node, how: 'to', value: lag }];
  if (releases && rolls.count > 0 && values.rollRelease[unit] === Number.NEGATIVE_INFINITY && told.length === 0) {
    changes.push({ what: 'rollRelease', index: unit, how: 'to', value: Number.NEGATIVE_INFINITY });
  } else if (lag === 0) return told;
  if (releases) {
    const station = plan.line.stations[plan.steps[node]!.station]?.code ?? null;
    told.push(aDeviation({ kind: 'lateRelease', unit: of.unit, station, began: beganAt(plan, base, null), fact: visit?.stay.arrivedBy ?? '', local: lag, changes }));
    return told;
  }
  const left = before >= 0 ? plan.steps[before]!.visit : null;
  const began = beganAt(plan, base, left?.finished ?? null);
  told.push(aDeviation({ kind: 'rollLag', unit: of.unit, station: left?.stay.station ?? null, began, fact: left?.stay.arrivedBy ?? '', local: lag, changes }));
  return told;
}

/** Released when it really was, whatever was released before it; a roll that it came with did not wait for it. */
function earlyRelease({ units, after }: Plan, { values }: Recursion, unit: number, local: number): Deviation {
  const { of, stays: [first] } = units[unit]!;
  const { arrived, station, arrivedBy } = first!;
  values.follows[unit] = 0;
  values.release[unit] = after(arrived);
  values.rollRelease[unit] = Number.NEGATIVE_INFINITY;
  const changes: ValueChange[] = [
    { what: 'follows', index: unit, how: 'to', value: 0 }, { what: 'release', index: unit, how: 'to', value: values.release[unit]! },
    { what: 'rollRelease', index: unit, how: 'to', value: Number.NEGATIVE_INFINITY },
  ];
  return aDeviation({ kind: 'earlyRelease', unit: of.unit, station, began: arrived, fact: arrivedBy, local, changes });
}

/** The gap that a step ends: the one whose first step still on what was built it is. */
function gapBefore({ steps, units }: Plan, node: number): Gap | null {
  const { unit } = steps[node]!;
  return units[unit]!.gaps.find((gap) => units[unit]!.steps.slice(gap.before).find((i) => steps[i]!.built) === node) ?? null;
}

function gapDeviation(plan: Plan, { values }: Recursion, gap: Gap, node: number, before: number, lag: number): Deviation {
  const changes: ValueChange[] = [{ what: 'lag', index: node, how: 'to', value: lag }];
  if (before >= 0) changes.push({ what: 'partedLag', index: before, how: 'to', value: values.partedLag[before]! });
  const away = plan.after(Math.min(gap.to ?? plan.period.to, plan.period.to)) - Math.max(0, plan.after(gap.from));
  return aDeviation({ kind: gap.kind, unit: gap.left.unit, station: gap.left.station, began: gap.from, fact: gap.left.arrivedBy, local: away, changes, gap });
}

/** The unit left its place before it came to the next: what it waited for there is told with the gap. */
function part(plan: Plan, { values, times }: Recursion, node: number): void {
  const { visit } = plan.steps[node]!;
  const left = visit ? leaveOf(visit.stay) : Number.POSITIVE_INFINITY;
  if (left > plan.period.to) return;
  values.partedLag[node] = plan.after(left) - Math.max(times.finish[node]!, values.keep[node]!);
  times.leave[node] = plan.after(left);
}

/** Before the period the order of beginning goes by when the unit was finished. */
function beganAt({ period: { from, time } }: Plan, base: number, finished: Instant | null): Instant {
  if (base > 0) return time.addWorking(from, base / 60_000);
  return finished === null ? from : Math.min(from, finished);
}
