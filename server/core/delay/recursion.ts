import type { PlanGraph } from './plan-graph.ts';
import type { PlanValues } from './plan-values.ts';

/** Minutes of each node, in working milliseconds from the beginning of the period. */
export interface PlanTimes {
  arrive: Float64Array;
  finish: Float64Array;
  leave: Float64Array;
}

export interface Recursion {
  graph: PlanGraph;
  values: PlanValues;
  times: PlanTimes;
  steps: number;
  pace: number;
  /** By step without one before it: it does not come before this. */
  floor: Float64Array;
}

export function emptyTimes(nodes: number): PlanTimes {
  return { arrive: new Float64Array(nodes), finish: new Float64Array(nodes), leave: new Float64Array(nodes) };
}

const scratchLeave = new Float64Array(4096);
const scratchSize = new Float64Array(4096);

/** When there is a place: enough of those before have left for what stands there, and this one, to fit. */
function placeFrom({ graph, times }: Recursion, node: number, from: number, to: number): number {
  const { places, size, room } = graph;
  let count = 0;
  for (let i = from; i < to && count < scratchLeave.length; i++) {
    const step = places.items[i]!;
    if (step === NOT_WAITED_FOR) continue;
    scratchLeave[count] = times.leave[step]!;
    scratchSize[count++] = size[step]!;
  }
  let standing = size[node]!;
  while (count > 0) {
    let last = 0;
    for (let i = 1; i < count; i++) if (scratchLeave[i]! > scratchLeave[last]!) last = i;
    standing += scratchSize[last]!;
    if (standing > room[node]! + 1e-9) return scratchLeave[last]!;
    count--;
    scratchLeave[last] = scratchLeave[count]!;
    scratchSize[last] = scratchSize[count]!;
  }
  return Number.NEGATIVE_INFINITY;
}

/** The planned release of `unit`, by itself or one pace after the release before it, not before the period begins. */
export function releaseOf({ graph, values, times, pace }: Recursion, unit: number, own: Float64Array): number {
  if (values.follows[unit] === 0 || own[unit] === Number.NEGATIVE_INFINITY) return own[unit]!;
  const before = graph.first[graph.releasedAfter[unit]!] ?? -1;
  return before < 0 ? 0 : Math.max(0, times.arrive[before]! + pace);
}

/** The earliest instant at which the node at place `p` of the order can come, lag left out. */
export function earliest(recursion: Recursion, p: number): number {
  const { graph, values, times, steps, floor } = recursion;
  const node = graph.order[p]!;
  const before = graph.prev[node]!;
  let base = node < steps && before < 0 ? floor[node]! : 0;
  if (before >= 0) base = graph.parted[before] === 1 ? times.leave[before]! : Math.max(times.finish[before]!, values.keep[before]!);
  const unit = graph.release[node]!;
  if (unit >= 0) base = Math.max(base, releaseOf(recursion, unit, node < steps ? values.release : values.rollRelease));
  for (let i = graph.ready.start[p]!; i < graph.ready.start[p + 1]!; i++) {
    const other = graph.ready.items[i]!;
    if (times.finish[other]! > base) base = times.finish[other]!;
    if (other < steps && values.keep[other]! > base) base = values.keep[other]!;
  }
  for (let i = graph.leaves.start[p]!; i < graph.leaves.start[p + 1]!; i++) {
    const leave = times.leave[graph.leaves.items[i]!]!;
    if (leave > base) base = leave;
  }
  const from = graph.places.start[p]!;
  const to = graph.places.start[p + 1]!;
  return to > from ? Math.max(base, placeFrom(recursion, node, from, to)) : base;
}

/** Writes down that the node comes at `arrive`, with what follows from it. */
export function comeAt({ graph, values, times, steps }: Recursion, node: number, arrive: number): void {
  times.arrive[node] = arrive;
  if (node >= steps) {
    times.finish[node] = arrive;
    return;
  }
  const before = graph.prev[node]!;
  if (before >= 0 && graph.parted[before] === 0) times.leave[before] = arrive;
  times.finish[node] = arrive + values.work[node]!;
  if (graph.parted[node] === 1) times.leave[node] = Math.max(times.finish[node]!, values.keep[node]!) + values.partedLag[node]!;
}

const MOST_PASSES = 50;
/** In a list of places: the unit does not stand in the way of this coming. */
const NOT_WAITED_FOR = -1;

/**
 * The recursion of definitions §5 over the whole plan. Where a coming needs a place whose leave is told only after it, that unit first
 * counts as standing, and the plan is told again with what was found until nothing changes. Where units passed one another against the
 * room there is, each would wait for the other for ever: then the first of them, as it really came, does not wait.
 */
export function recurAll(recursion: Recursion): void {
  do passUntilSettled(recursion); while (endWaitForEver(recursion));
}

function passUntilSettled(recursion: Recursion): void {
  const { graph, times } = recursion;
  forgetLeaves(recursion);
  for (let pass = 0, changed = true; changed && pass < MOST_PASSES; pass++) {
    changed = false;
    for (let p = 0; p < graph.order.length; p++) {
      const arrive = times.arrive[graph.order[p]!]!;
      settle(recursion, p);
      if (graph.late.length > 0 && (pass === 0 || times.arrive[graph.order[p]!] !== arrive)) changed = true;
    }
  }
}

/** The first coming that waits for ever no longer waits for those that keep it; false where none does. */
function endWaitForEver({ graph: { order, late, places }, times }: Recursion): boolean {
  for (const p of late) {
    if (times.arrive[order[p]!] !== Number.POSITIVE_INFINITY) continue;
    let ended = false;
    for (let i = places.start[p]!; i < places.start[p + 1]!; i++) {
      if (places.items[i]! === NOT_WAITED_FOR || times.leave[places.items[i]!] !== Number.POSITIVE_INFINITY) continue;
      places.items[i] = NOT_WAITED_FOR;
      ended = true;
    }
    if (ended) return true;
  }
  return false;
}

/** No leave is known yet. */
export function forgetLeaves({ times }: Recursion): void {
  times.leave.fill(Number.POSITIVE_INFINITY);
}

/** The same after the values of some nodes changed (by place in the order): only what follows from a change is told again. */
export function recurFrom(recursion: Recursion, changed: readonly number[]): void {
  const { graph: { order, followers, late }, times } = recursion;
  const due = new Uint8Array(order.length);
  let first = order.length;
  for (const p of changed) {
    due[p] = 1;
    if (p < first) first = p;
  }
  for (let p = first; p < order.length; p++) {
    if (due[p] === 0) continue;
    const node = order[p]!;
    const arrive = times.arrive[node]!;
    const finish = times.finish[node]!;
    const leave = times.leave[node]!;
    settle(recursion, p);
    if (times.arrive[node] === arrive && times.finish[node] === finish && times.leave[node] === leave && !changed.includes(p)) continue;
    for (let i = followers.start[p]!; i < followers.start[p + 1]!; i++) due[followers.items[i]!] = 1;
  }
  const stands = late.every((p) => {
    const arrive = times.arrive[order[p]!]!;
    settle(recursion, p);
    return times.arrive[order[p]!] === arrive;
  });
  if (!stands) recurAll(recursion);
}

function settle(recursion: Recursion, p: number): void {
  const { graph, values, steps } = recursion;
  const node = graph.order[p]!;
  if (graph.standing[node] === 1) comeAt(recursion, node, 0);
  else comeAt(recursion, node, earliest(recursion, p) + (node < steps ? values.lag[node]! : values.rollLag[node - steps]!));
}
