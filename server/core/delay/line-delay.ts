import { derivationAt } from '../timeline/derive-visits.ts';
import type { LineHistory } from '../timeline/line-history.ts';
import { type Instant, type Minutes, MS_PER_MINUTE } from '../units.ts';
import type { Deviation, DeviationKind } from './deviation.ts';
import type { Plan } from './plan.ts';
import { planOf } from './plan-units.ts';
import { preparedDelay } from './put-in.ts';

/** One thing that deviated from the plan. Minutes are working minutes of the line; negative ones were recovered. */
export interface DelayCause {
  kind: DeviationKind;
  /** The hold or the stop; null for other kinds. */
  cause: string | null;
  /** Null for a roll of a whole line, and for a stop that touched more than one unit or none. */
  unit: string | null;
  station: string | null;
  began: Instant;
  /** What it took where it happened, in the period. */
  localMinutes: Minutes;
  /** What it cost the line. */
  lineMinutes: Minutes;
}

export interface LineDelay {
  line: string;
  from: Instant;
  to: Instant;
  /** The last unit released before `to` that is not off the line: the one by whose exit the delay is told. Null when there is none. */
  lastUnit: string | null;
  totalMinutes: Minutes;
  /** Of the total, what the last unit that left in the period was late. */
  lostMinutes: Minutes;
  inPipeMinutes: Minutes;
  /** By how much the units of the period leave later than planned, added up. */
  unitMinutesLate: Minutes;
  /** In the order of beginning. */
  causes: DelayCause[];
  /** Exit of every unit of the period as planned at `from` and as known at `to`, in working minutes after `from`. */
  exits: { unit: string; planned: Minutes; built: Minutes }[];
}

/** Line delay of [from, to) and whose it is (definitions §5), as known at `to`. */
export function lineDelay(history: LineHistory, from: Instant, to: Instant): LineDelay {
  const derivation = derivationAt(history, to);
  const plan = planOf(derivation, { from, to, time: derivation.lineTime });
  if (!plan) return { line: history.line, from, to, lastUnit: null, totalMinutes: 0, lostMinutes: 0, inPipeMinutes: 0, unitMinutesLate: 0, causes: [], exits: [] };
  const { recursion, deviations, putIn } = preparedDelay(plan, history);
  const exitOf = plan.units.map((unit) => unit.steps.at(-1)!);
  const exits = (): number[] => exitOf.map((step) => recursion.times.arrive[step]!);
  const planned = exits();
  const last = lastUnit(plan);
  const lastExit = last === null ? -1 : exitOf[last]!;
  const causes = deviations.map((deviation) => {
    const before = lastExit < 0 ? 0 : recursion.times.arrive[lastExit]!;
    putIn(deviation);
    const after = lastExit < 0 ? 0 : recursion.times.arrive[lastExit]!;
    return causeOf(deviation, after - before);
  });
  const built = exits();
  const total = last === null ? 0 : built[last]! - planned[last]!;
  const lost = lostSoFar(plan, planned, built);
  const late = planned.reduce((sum, exit, i) => (plan.units[i]!.stays.length > 0 ? sum + Math.max(0, built[i]! - exit) : sum), 0);
  return {
    line: history.line, from, to, lastUnit: last === null ? null : plan.units[last]!.of.unit,
    totalMinutes: total / MS_PER_MINUTE, lostMinutes: lost / MS_PER_MINUTE, inPipeMinutes: (total - lost) / MS_PER_MINUTE, unitMinutesLate: late / MS_PER_MINUTE, causes,
    exits: plan.units.map(({ of }, i) => ({ unit: of.unit, planned: planned[i]! / MS_PER_MINUTE, built: built[i]! / MS_PER_MINUTE })),
  };
}

function causeOf({ kind, id, unit, station, began, local }: Deviation, line: number): DelayCause {
  return { kind, cause: id, unit, station, began, localMinutes: local / MS_PER_MINUTE, lineMinutes: line / MS_PER_MINUTE };
}

/** The last unit released before the end that is not off the line. */
function lastUnit({ units, pastRelease, period: { to } }: Plan): number | null {
  let last: number | null = null;
  units.forEach(({ stays, offLine, withdrawn }, i) => {
    const released = stays[0]?.arrived ?? Number.POSITIVE_INFINITY;
    if (released >= to || released < pastRelease || offLine || withdrawn) return;
    const best = last === null ? null : units[last]!.stays[0]!;
    if (!best || released > best.arrived || (released === best.arrived && stays[0]!.arrivedBy > best.arrivedBy)) last = i;
  });
  return last;
}

/** Real exit less planned exit of the last unit that left in the period. */
function lostSoFar({ units, steps, period: { from, to } }: Plan, planned: readonly number[], built: readonly number[]): number {
  let last = -1;
  let left = Number.NEGATIVE_INFINITY;
  units.forEach((unit, i) => {
    const { came } = steps[unit.steps.at(-1)!]!;
    if (came >= from && came <= to && !unit.withdrawn && came >= left) [last, left] = [i, came];
  });
  return last < 0 ? 0 : built[last]! - planned[last]!;
}
