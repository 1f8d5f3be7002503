import type { Station } from '../setup/plant.ts';
import { leaveOf } from '../timeline/occupancy.ts';
import type { Instant } from '../units.ts';
import type { Gap, Plan, PlanUnit, Step } from './plan.ts';

/** How units really came to each station. */
export interface RealOrder {
  /** Numbers of the steps at each station of the line, all of them, in the order of coming as it really was and then as at the end. */
  order: number[][];
  /** By step: what really stood at the station once it had come, for the floor may set more there than it has places for. */
  stood: Float64Array;
}

export function realOrder({ line, steps, units }: Plan): RealOrder {
  const order = line.stations.map((): number[] => []);
  steps.forEach((step, i) => {
    if (step.station >= 0) order[step.station]!.push(i);
  });
  const by = (a: number, b: number): number => compareComing(steps[a]!, steps[b]!, units) || a - b;
  const stood = new Float64Array(steps.length);
  order.forEach((own, s) => {
    own.sort(by);
    let here: number[] = [];
    for (const i of own) {
      const { visit, came } = steps[i]!;
      if (!visit) continue;
      here = here.filter((other) => leaveOf(steps[other]!.visit!.stay) > came && steps[other]!.unit !== steps[i]!.unit);
      here.push(i);
      stood[i] = here.reduce((sum, other) => sum + sizeAt(line.stations[s]!, units[steps[other]!.unit]!), 0);
    }
  });
  return { order, stood };
}

/** What a unit takes of a station: one place, or its length. */
export function sizeAt(station: Station, unit: PlanUnit): number {
  return station.placeLength === null ? 1 : unit.length;
}

/** Who comes first: by the instant of coming, then by the fact, then, of those still to come, as they stand on the line. */
export function compareComing(a: Step, b: Step, units: readonly PlanUnit[]): number {
  if (a.came !== b.came) return a.came < b.came ? -1 : 1;
  if (a.came === Number.POSITIVE_INFINITY) return units[a.unit]!.order - units[b.unit]!.order;
  const [x, y] = [a.visit?.stay.arrivedBy ?? '', b.visit?.stay.arrivedBy ?? ''];
  return x < y ? -1 : x > y ? 1 : 0;
}

/**
 * The order of coming at each station while some gaps are not put in: a unit that is not yet said to have been off the line comes
 * before all that were behind it when it left its place.
 */
export function orderWithout(gaps: readonly Gap[], real: readonly number[][], active: Uint8Array, plan: Plan): number[][] {
  const { steps, units } = plan;
  const displaced = new Set<number>();
  for (const gap of gaps) for (const step of units[gap.unit]!.steps.slice(gap.before)) displaced.add(step);
  const order = real.map((own) => own.filter((step) => active[step] === 1 && !displaced.has(step)));
  const placed = new Map<number, Uint8Array>();
  for (const gap of gaps) {
    if (placed.has(gap.unit)) continue;
    const behind = unitsBehind(gap, plan);
    // One placed before it is not where it really was then: it kept its turn.
    for (const [other, itsBehind] of placed) behind[other] = itsBehind[gap.unit] === 1 ? 0 : 1;
    placed.set(gap.unit, behind);
    for (const step of units[gap.unit]!.steps.slice(gap.before)) {
      const own = order[steps[step]!.station];
      if (!own || active[step] === 0) continue;
      const first = own.findIndex((other) => behind[steps[other]!.unit] === 1);
      own.splice(first < 0 ? own.length : first, 0, step);
    }
  }
  return order;
}

/** Marks the units that stood behind the gap's unit when it left its place, or at the beginning of the period for one already off. */
function unitsBehind({ unit, from, left }: Gap, { units, line, period }: Plan): Uint8Array {
  const position = new Map(line.stations.map((station, i) => [station.code, i]));
  const when: Instant = Math.max(from, period.from);
  const own = position.get(left.station)!;
  return Uint8Array.from(units, ({ stays }, i) => {
    const last = stays.findLast((stay) => stay.arrived <= when);
    if (i === unit || !last) return i === unit ? 0 : 1;
    const along = position.get(last.station)!;
    return along > own || (along === own && last.arrived < left.arrived) ? 0 : 1;
  });
}
