import type { Gap, Plan } from './plan.ts';
import type { PlanValues } from './plan-values.ts';
import { orderWithout, type RealOrder, sizeAt } from './coming-order.ts';
import { type Rolls, rollOfSteps } from './plan-rolls.ts';
import { placeNeeds, type PlaceNeed } from './place-needs.ts';

/** What each step waits for, in an order in which each comes after what it waits for. Nodes are steps, then rolls. */
export interface PlanGraph {
  order: Int32Array;
  /** Where in `order` a node stands; -1 for one that is not active. */
  at: Int32Array;
  prev: Int32Array;
  next: Int32Array;
  standing: Uint8Array;
  /** Steps after which the unit leaves its place before it comes to the next. */
  parted: Uint8Array;
  /** By place in `order`: nodes whose ready counts, steps whose leave counts, steps of which some must have left. */
  ready: Lists;
  leaves: Lists;
  places: Lists;
  /** By place in `order`: places of the nodes that wait for it. */
  followers: Lists;
  /** Places in `order` of the comings that need the place of a unit whose leave is told only after them. */
  late: number[];
  /** By node: the room at the station for this coming, and its own size. */
  room: Float64Array;
  size: Float64Array;
  /** By step: size in a place of the station. */
  release: Int32Array;
  /** By unit: first active step, -1 when it has none. */
  first: Int32Array;
  /** By unit: the unit released before it, -1 for none. */
  releasedAfter: Int32Array;
}

export interface Lists {
  start: Int32Array;
  items: Int32Array;
}

interface Needs {
  ready: number[][];
  leaves: number[][];
  places: PlaceNeed[];
}

/** The graph of the active steps, while `without` are the gaps not put in yet (in order of beginning). */
export function planGraph(plan: Plan, values: PlanValues, rolls: Rolls, real: RealOrder, without: readonly Gap[]): PlanGraph {
  const { steps, units } = plan;
  const nodes = steps.length + rolls.count;
  const prev = new Int32Array(nodes).fill(-1);
  const next = new Int32Array(nodes).fill(-1);
  const parted = new Uint8Array(nodes);
  const first = Int32Array.from(units, () => -1);
  const absent = new Set(without);
  units.forEach((unit, u) => {
    const own = unit.steps.filter((i) => values.active[i] === 1);
    first[u] = own[0] ?? -1;
    for (let k = 1; k < own.length; k++) {
      prev[own[k]!] = own[k - 1]!;
      next[own[k - 1]!] = own[k]!;
    }
    for (const gap of unit.gaps) {
      if (absent.has(gap)) continue;
      const last = unit.steps.slice(0, gap.before).findLast((i) => values.active[i] === 1);
      if (last !== undefined) parted[last] = 1;
    }
  });
  const releasedAfter = Int32Array.from(units, () => -1);
  plan.releases.forEach((unit, i) => {
    if (i > 0) releasedAfter[unit] = plan.releases[i - 1]!;
  });
  const release = new Int32Array(nodes).fill(-1);
  const needs: Needs = { ready: Array.from({ length: nodes }, () => []), leaves: Array.from({ length: nodes }, () => []), places: [] };
  for (const unit of plan.releases) if (first[unit]! >= 0) release[first[unit]!] = unit;
  if (plan.line.roll === 'together') addRolls(plan, rolls, values, without, prev, release, needs);
  else needs.places = placeNeeds(plan, orderWithout(without, real.order, values.active, plan), real.stood, next, parted, needs.leaves);
  const standing = Uint8Array.from({ length: nodes }, (_, i) => (steps[i]?.standing ? 1 : 0));
  const sorted = inOrder({ plan, values, prev, next, parted, first, release, releasedAfter, rolls }, needs);
  const byPlace = (lists: readonly (readonly number[])[]): Lists => flatten(sorted.order, lists);
  const room = new Float64Array(nodes);
  const size = new Float64Array(nodes);
  needs.places.forEach((need, i) => { if (need) room[i] = need.room; });
  steps.forEach(({ station, unit }, i) => { size[i] = station >= 0 ? sizeAt(plan.line.stations[station]!, units[unit]!) : 1; });
  return {
    ...sorted, prev, next, standing, parted, release, first, releasedAfter, room, size,
    ready: byPlace(needs.ready), leaves: byPlace(needs.leaves), places: byPlace(needs.ready.map((_, i) => needs.places[i]?.before ?? [])),
  };
}

/** Who moves with a roll waits for it; a roll waits for the one before, for all that move with it, and for the release that enters. */
function addRolls(plan: Plan, rolls: Rolls, values: PlanValues, without: readonly Gap[], prev: Int32Array, release: Int32Array, needs: Needs): void {
  const steps = plan.steps.length;
  const roll = rollOfSteps(plan, rolls, values.active, without);
  for (let i = 0; i < steps; i++) {
    if (values.active[i] === 0 || roll[i]! < 0 || plan.steps[i]!.standing || roll[i]! >= rolls.count) continue;
    const node = steps + roll[i]!;
    needs.ready[i]!.push(node);
    if (prev[i]! >= 0) needs.ready[node]!.push(prev[i]!);
    else if (release[i]! >= 0) release[node] = release[i]!;
  }
  for (let r = 1; r < rolls.count; r++) needs.ready[steps + r]!.push(steps + r - 1);
}

interface Chains {
  plan: Plan;
  values: PlanValues;
  prev: Int32Array;
  next: Int32Array;
  parted: Uint8Array;
  first: Int32Array;
  release: Int32Array;
  releasedAfter: Int32Array;
  rolls: Rolls;
}

/**
 * Nodes sorted so that each comes after what it waits for. Where the order of coming leaves no such order (a unit of several that stand in
 * a station may leave only after the one that waits for its place), the one that really came first goes first.
 */
function inOrder(chains: Chains, needs: Needs): { order: Int32Array; at: Int32Array; late: number[]; followers: Lists } {
  const { plan: { steps }, values, parted, next } = chains;
  const nodes = chains.prev.length;
  const isActive = (node: number): boolean => node >= steps.length || values.active[node] === 1;
  const leaving = (step: number): number => (parted[step] === 1 ? step : next[step]!);
  const waits = Array.from({ length: nodes }, (_, node) => (isActive(node) ? waitsFor(chains, needs, node, leaving) : []));
  const open = Int32Array.from(waits, (own) => own.length);
  const followers: number[][] = Array.from({ length: nodes }, () => []);
  waits.forEach((own, node) => { for (const other of own) followers[other]!.push(node); });
  const at = new Int32Array(nodes).fill(-1);
  const order: number[] = [];
  const free: number[] = [];
  for (let node = nodes - 1; node >= 0; node--) if (isActive(node) && open[node] === 0) free.push(node);
  const total = Array.from({ length: nodes }, (_, node) => node).filter(isActive);
  const late: number[] = [];
  while (order.length < total.length) {
    const node = free.pop() ?? firstLeft(chains, needs, total, at, leaving);
    if (at[node]! >= 0) continue;
    at[node] = order.length;
    order.push(node);
    if (open[node]! > 0 && dropLate(needs, node, at, leaving)) late.push(at[node]!);
    for (const follower of followers[node]!) if (--open[follower]! === 0 && at[follower]! < 0) free.push(follower);
  }
  const places = followers.map((own, node) => own.map((other) => at[other]!).filter((place) => place > at[node]!));
  return { order: Int32Array.from(order), at, late, followers: flatten(Int32Array.from(order), places) };
}

function waitsFor({ prev, first, release, releasedAfter, plan }: Chains, needs: Needs, node: number, leaving: (step: number) => number): number[] {
  if (plan.steps[node]?.standing) return [];
  const waits = [...needs.ready[node]!];
  if (prev[node]! >= 0) waits.push(prev[node]!);
  for (const other of needs.leaves[node]!) waits.push(leaving(other));
  for (const other of needs.places[node]?.before ?? []) waits.push(leaving(other));
  const after = release[node]! < 0 ? -1 : releasedAfter[release[node]!]!;
  if (after >= 0 && first[after]! >= 0) waits.push(first[after]!);
  return waits.filter((other) => other >= 0 && other !== node);
}

/** The one that really came first, of those that wait only for one of several places to be left; of all, where there is none such. */
function firstLeft({ plan: { steps, units }, prev }: Chains, needs: Needs, nodes: readonly number[], at: Int32Array, leaving: (step: number) => number): number {
  const left = nodes.filter((node) => at[node]! < 0);
  const told = (node: number): boolean => node < 0 || at[node]! >= 0;
  const placed = left.filter((node) => node < steps.length && told(prev[node]!) && needs.ready[node]!.every(told) && needs.leaves[node]!.every((step) => told(leaving(step))));
  const came = (node: number): number => steps[node]?.came ?? Number.POSITIVE_INFINITY;
  const order = (node: number): number => units[steps[node]?.unit ?? -1]?.order ?? Number.POSITIVE_INFINITY;
  return (placed.length > 0 ? placed : left).reduce((best, node) => (came(node) < came(best) || (came(node) === came(best) && order(node) < order(best)) ? node : best));
}

/** `node` does not wait for what is told after it; true when it needs the place of a unit whose leave is. */
function dropLate(needs: Needs, node: number, at: Int32Array, leaving: (step: number) => number): boolean {
  const told = (step: number): boolean => leaving(step) === node || (at[leaving(step)] ?? -1) >= 0;
  needs.leaves[node] = needs.leaves[node]!.filter(told);
  needs.ready[node] = needs.ready[node]!.filter((other) => at[other]! >= 0);
  return !(needs.places[node]?.before.every(told) ?? true);
}

function flatten(order: Int32Array, lists: readonly (readonly number[])[]): Lists {
  const start = new Int32Array(order.length + 1);
  order.forEach((node, i) => { start[i + 1] = start[i]! + lists[node]!.length; });
  const items = new Int32Array(start[order.length]!);
  order.forEach((node, i) => items.set(lists[node]!, start[i]));
  return { start, items };
}
