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
  const moved = [...new Set(rolled)].filter((t) => t > period.from && t <= period.to).sort((a, b) => a - b);
  const entered = enteredWith(plan, moved);
  const instants = [...new Set([...moved, ...entered.values()])].sort((a, b) => a - b);
  const number = new Map(instants.map((t, i) => [t, i]));
  for (const { steps: own, stays } of units) {
    const movedBy = new Set(stays.filter((stay) => stay.leftHow === 'rolled').map((stay) => stay.left));
    for (const i of own) {
      const { came, built, visit, station } = steps[i]!;
      if (built && movedBy.has(came) && (station < 0 || visit)) real[i] = number.get(came) ?? -1;
    }
  }
  for (const [step, t] of entered) real[step] = number.get(t)!;
  const waiting = releases.filter((unit) => units[unit]!.released === null).length;
  return { instants, count: instants.length + waiting + 2 * line.stations.length + units.length + 2, real };
}

/**
 * The roll with which each unit of the period was released, by its first step: the last one before it with which none entered yet, however
 * late the unit was; else its coming is a roll of its own, for it found the first place empty.
 */
function enteredWith({ units, steps, releases }: Plan, moved: readonly Instant[]): Map<number, Instant> {
  const taken = new Set<Instant>();
  const entered = new Map<number, Instant>();
  for (const unit of releases) {
    const { released, steps: own } = units[unit]!;
    const first = own.find((i) => steps[i]!.visit !== null);
    if (released === null || first === undefined) continue;
    const roll = moved.findLast((t) => t <= released);
    const instant = roll === undefined || taken.has(roll) ? released : roll;
    taken.add(instant);
    entered.set(first, instant);
  }
  return entered;
}

/** A unit that is off the line when the period begins, or ends: it comes back after so many rolls or later. */
interface Returning {
  gap: Gap;
  after: number;
}

/** The roll that each active step comes with, while `without` are the gaps not put in yet; -1 for one that comes otherwise. */
export function rollOfSteps(plan: Plan, rolls: Rolls, active: Uint8Array, without: readonly Gap[]): Int32Array {
  const { units, steps, releases, period } = plan;
  const roll = Int32Array.from(rolls.real);
  if (plan.line.roll === 'asReady') return roll;
  const ahead = rolls.instants.length;
  const gapOf = new Map<number, Gap>();
  for (const gap of without) if (!gapOf.has(gap.unit)) gapOf.set(gap.unit, gap);
  let entering = ahead;
  const enters = new Map(releases.filter((unit) => units[unit]!.released === null).map((unit) => [unit, entering++]));
  const returning: Returning[] = [];
  units.forEach((unit, i) => {
    const gap = gapOf.get(i);
    const toCome = unit.steps.findIndex((step) => steps[step]!.came === Number.POSITIVE_INFINITY);
    const open = unit.gaps.at(-1);
    if (gap && gap.from <= period.from) returning.push({ gap, after: 0 });
    else if (gap) rollOn(plan, active, roll, gap, rolls.instants.filter((t) => t <= gap.left.arrived || t < gap.from).length);
    else if (open?.to === null) returning.push({ gap: open, after: ahead });
    else if (toCome >= 0) rollOn(plan, active, roll, { unit: i, before: toCome }, enters.get(i) ?? ahead);
  });
  if (returning.length > 0) bringBack(plan, rolls, active, roll, new Set(without), returning);
  return roll;
}

/** From a step on the unit comes one place further with each roll. */
function rollOn({ units }: Plan, active: Uint8Array, roll: Int32Array, { unit, before }: Pick<Gap, 'unit' | 'before'>, first: number): void {
  let next = first;
  for (const i of units[unit]!.steps.slice(before)) if (active[i] === 1) roll[i] = next++;
}

/** Units off the line come back at once, or at the first roll, at which their next station stands empty. */
function bringBack(plan: Plan, rolls: Rolls, active: Uint8Array, roll: Int32Array, absent: ReadonlySet<Gap>, returning: Returning[]): void {
  const { units, steps, line } = plan;
  const stations = line.stations.length;
  const standing = new Int32Array((rolls.count + 1) * stations);
  const rollsBy = (t: Instant): number => rolls.instants.filter((instant) => instant <= t).length;
  /** After how many rolls the unit has come to the step. */
  const after = (i: number): number => (roll[i]! >= 0 ? roll[i]! + 1 : steps[i]!.standing ? 0 : rollsBy(steps[i]!.came));
  const count = (unit: number): void => {
    const own = units[unit]!.steps.filter((i) => active[i] === 1);
    const at = (i: number): number => units[unit]!.steps.indexOf(i);
    own.slice(0, -1).forEach((i, k) => {
      const gap = units[unit]!.gaps.find((one) => !absent.has(one) && one.before <= at(own[k + 1]!) && one.before > at(i));
      const until = gap ? rollsBy(gap.from) : after(own[k + 1]!);
      for (let slot = after(i); slot < until && slot <= rolls.count; slot++) standing[slot * stations + steps[i]!.station]!++;
    });
  };
  const back = new Set(returning.map(({ gap }) => gap.unit));
  units.forEach((_, i) => back.has(i) || count(i));
  const along = ({ gap }: Returning): number => line.stations.findIndex(({ code }) => code === gap.left.station);
  let waiting = returning.sort((a, b) => along(b) - along(a) || a.gap.left.arrived - b.gap.left.arrived);
  for (let slot = 0; slot <= rolls.count && waiting.length > 0; slot++) {
    waiting = waiting.filter(({ gap, after: earliest }) => {
      const first = units[gap.unit]!.steps.slice(gap.before).find((i) => active[i] === 1);
      const station = first === undefined ? -1 : steps[first]!.station;
      const capacity = station < 0 ? Infinity : (line.stations[station]!.capacity ?? 1);
      if (slot < earliest || standing[slot * stations + station]! >= capacity) return true;
      rollOn(plan, active, roll, gap, slot - 1);
      if (first !== undefined && slot === earliest) roll[first] = -1;
      count(gap.unit);
      return false;
    });
  }
}
