import type { Instant } from '../units.ts';
import type { Gap, Plan } from './plan.ts';

/** The rolls of a line that rolls together: those that happened in the period, in order, and how many are told after them. */
export interface Rolls {
  instants: Instant[];
  count: number;
  /** By step: the roll it really came with; -1 when it came otherwise or has not come. */
  real: Int32Array;
}

/** None on a line that moves as ready. */
export function rollsOf(plan: Plan): Rolls {
  const { line, units, steps, period, releases } = plan;
  const real = new Int32Array(steps.length).fill(-1);
  if (line.roll === 'asReady') return { instants: [], count: 0, real };
  const rolled = units.flatMap(({ stays }) => stays.filter((stay) => stay.leftHow === 'rolled').map((stay) => stay.left!));
  const instants = [...new Set(rolled)].filter((t) => t > period.from && t <= period.to).sort((a, b) => a - b);
  const number = new Map(instants.map((t, i) => [t, i]));
  for (const { steps: own, stays } of units) {
    const movedBy = new Set(stays.filter((stay) => stay.leftHow === 'rolled').map((stay) => stay.left));
    for (const i of own) {
      const { came, built, visit, station } = steps[i]!;
      if (built && movedBy.has(came) && (station < 0 || visit)) real[i] = number.get(came) ?? -1;
    }
  }
  enterWithRolls(plan, instants, real);
  const waiting = releases.filter((unit) => units[unit]!.released === null).length;
  return { instants, count: instants.length + waiting + 2 * line.stations.length + units.length + 2, real };
}

/** A unit released after a roll with which none entered yet came with that roll, however late. */
function enterWithRolls({ units, steps, releases }: Plan, instants: readonly Instant[], real: Int32Array): void {
  const taken = new Set<number>();
  for (const unit of releases) {
    const { released, steps: own } = units[unit]!;
    if (released === null) continue;
    const roll = instants.findLastIndex((t) => t <= released);
    const first = own.find((i) => steps[i]!.visit !== null);
    if (roll < 0 || taken.has(roll) || first === undefined) continue;
    taken.add(roll);
    real[first] = roll;
  }
}

/** The roll that each active step comes with, while `without` are the gaps not put in yet; -1 for one that comes otherwise. */
export function rollOfSteps(plan: Plan, rolls: Rolls, active: Uint8Array, without: readonly Gap[]): Int32Array {
  const { units, steps, releases, period } = plan;
  const roll = Int32Array.from(rolls.real);
  if (plan.line.roll === 'asReady') return roll;
  const ahead = rolls.instants.length;
  const inSteps = (unit: number, from: number, first: number): void => {
    let next = first;
    for (const i of units[unit]!.steps.slice(from)) if (active[i] === 1) roll[i] = next++;
  };
  const gapOf = new Map<number, Gap>();
  for (const gap of without) if (!gapOf.has(gap.unit)) gapOf.set(gap.unit, gap);
  let entering = ahead;
  const enters = new Map(releases.filter((unit) => units[unit]!.released === null).map((unit) => [unit, entering++]));
  const offLine: number[] = [];
  units.forEach((unit, i) => {
    const gap = gapOf.get(i);
    const toCome = unit.steps.findIndex((step) => steps[step]!.came === Number.POSITIVE_INFINITY);
    if (gap) {
      const next = rolls.instants.filter((t) => t <= Math.max(gap.from, period.from)).length;
      // One that is off the line when the period begins comes back at once.
      inSteps(i, gap.before, gap.from <= period.from ? next - 1 : next);
    } else if (unit.gaps.at(-1)?.to === null) offLine.push(i);
    else if (toCome >= 0) inSteps(i, toCome, enters.get(i) ?? ahead);
  });
  bringBack(plan, rolls, active, roll, offLine, inSteps);
  return roll;
}

/** Units off the line come back at the first of: the end of the period, a roll, at which their next station stands empty. */
function bringBack(
  { units, steps, line }: Plan, rolls: Rolls, active: Uint8Array, roll: Int32Array, offLine: number[], inSteps: (unit: number, from: number, first: number) => void,
): void {
  const ahead = rolls.instants.length;
  const slots = rolls.count - ahead;
  const standing = new Int32Array((slots + 1) * line.stations.length);
  const count = (unit: number): void => {
    const own = units[unit]!.steps.filter((i) => active[i] === 1);
    own.forEach((i, k) => {
      const next = own[k + 1];
      if (next === undefined || (steps[next]!.came !== Number.POSITIVE_INFINITY && roll[next]! < ahead)) return;
      const until = roll[next]! < 0 ? 0 : roll[next]! - ahead + 1;
      for (let slot = Math.max(0, roll[i]! - ahead + 1); slot < until && slot <= slots; slot++) standing[slot * line.stations.length + steps[i]!.station]!++;
    });
  };
  units.forEach((_, i) => offLine.includes(i) || count(i));
  for (const unit of offLine.sort((a, b) => units[a]!.order - units[b]!.order)) {
    const { gaps, steps: own } = units[unit]!;
    const first = own.slice(gaps.at(-1)!.before).find((i) => active[i] === 1);
    if (first === undefined) continue;
    const { station } = steps[first]!;
    const capacity = station < 0 ? Infinity : (line.stations[station]!.capacity ?? 1);
    let slot = 0;
    while (slot < slots && standing[slot * line.stations.length + station]! >= capacity) slot++;
    // `ahead - 1` is no roll of this step's own: it comes between two rolls.
    inSteps(unit, gaps.at(-1)!.before, ahead + slot - 1);
    if (slot === 0) roll[first] = -1;
    count(unit);
  }
}
