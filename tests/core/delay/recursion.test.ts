import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { realOrder } from '../../../server/core/delay/coming-order.ts';
import type { Plan } from '../../../server/core/delay/plan.ts';
import { planOf } from '../../../server/core/delay/plan-units.ts';
import { preparedDelay } from '../../../server/core/delay/put-in.ts';
import { recurAll, type Recursion } from '../../../server/core/delay/recursion.ts';
import { derivationAt } from '../../../server/core/timeline/derive-visits.ts';
import type { LineHistory } from '../../../server/core/timeline/line-history.ts';
import { anyLine, anyPeriod } from '../../support/any-line.ts';
import { minute } from '../../support/given.ts';
import { simulateLine } from '../../support/simulated-line.ts';

function prepared(history: LineHistory, from: number, to: number) {
  const derivation = derivationAt(history, minute(to));
  const plan = planOf(derivation, { from: minute(from), to: minute(to), time: derivation.lineTime })!;
  return { plan, ...preparedDelay(plan, history) };
}

/**
 * The equations of definitions §5, written down as they stand there and looked up in the answer: no order of telling, no short cuts.
 * A step comes at the latest of ready, free and turn, and then its lag: `free` is the (k - c)-th leave in time of the k - 1 before it.
 */
function wrongComings(plan: Plan, { graph, values, times, pace }: Recursion): string[] {
  const { steps, line, units, releases, releasedBefore } = plan;
  const wrong: string[] = [];
  const own = units.map((unit) => unit.steps.filter((i) => values.active[i] === 1));
  const order = realOrder(plan).order.map((all) => all.filter((i) => values.active[i] === 1));
  const before = (i: number): number | undefined => {
    const chain = own[steps[i]!.unit]!;
    return chain[chain.indexOf(i) - 1];
  };
  const free = (i: number): number => {
    const { station } = steps[i]!;
    if (station < 0) return 0;
    const earlier = order[station]!.slice(0, order[station]!.indexOf(i)).map((other) => times.leave[other]!).sort((a, b) => a - b);
    return earlier[earlier.length - line.stations[station]!.capacity!] ?? 0;
  };
  const turn = (i: number): number => {
    const from = before(i);
    const station = from === undefined ? -1 : steps[from]!.station;
    if (from === undefined || station < 0 || line.stations[station]!.unitsMayPass) return 0;
    return Math.max(0, ...order[station]!.slice(0, order[station]!.indexOf(from)).map((other) => times.leave[other]!));
  };
  const release = (unit: number): number => {
    if (values.follows[unit] === 0) return values.release[unit]!;
    const previous = releases[releases.indexOf(unit) - 1];
    return Math.max(0, (previous === undefined ? releasedBefore! : times.arrive[own[previous]![0]!]!) + pace);
  };
  for (const chain of own) {
    for (const i of chain) {
      if (steps[i]!.standing) continue;
      const from = before(i);
      const ready = from === undefined ? (units[steps[i]!.unit]!.released !== null ? release(steps[i]!.unit) : 0) : Math.max(times.finish[from]!, values.keep[from]!);
      const expected = Math.max(0, ready, free(i), turn(i)) + values.lag[i]!;
      if (times.arrive[i] !== expected) wrong.push(`${units[steps[i]!.unit]!.of.unit} comes to ${steps[i]!.station} at ${times.arrive[i]! / 60_000}, not ${expected / 60_000}`);
      if (times.finish[i] !== times.arrive[i]! + values.work[i]!) wrong.push(`${i} is finished wrong`);
      if (from !== undefined && times.leave[from] !== times.arrive[i]) wrong.push(`${from} leaves wrong`);
    }
  }
  if (graph.order.length !== own.flat().length) wrong.push('not every step is told');
  return wrong;
}

describe('the recursion', () => {
  it('solves the equations of the definition on the plan and after each deviation, several places and overtaking included', () => {
    fc.assert(fc.property(anyLine(false), anyPeriod, (sim, [from, to]) => {
      const { plan, recursion, deviations, putIn } = prepared(simulateLine({ ...sim, pulls: [], capacity: sim.capacity.map((places, i) => places + (i % 2)) }), from, to);
      expect(wrongComings(plan, recursion)).toEqual([]);
      for (const deviation of deviations) {
        putIn(deviation);
        expect(wrongComings(plan, recursion)).toEqual([]);
      }
    }), { numRuns: 250 });
  });

  it.each([['as ready', false], ['together', true]])('told again from a change on is what it is told from the start, as the line moves %s', (_, together) => {
    fc.assert(fc.property(anyLine(together), anyPeriod, (sim, [from, to]) => {
      const { plan, recursion, deviations, putIn } = prepared(simulateLine(sim), from, to);
      for (const deviation of deviations) {
        putIn(deviation);
        const { arrive, finish, leave } = recursion.times;
        const told = plan.steps.map((__, i) => (recursion.values.active[i] === 1 ? [arrive[i], finish[i], leave[i]] : null));
        recurAll(recursion);
        expect(plan.steps.map((__, i) => (recursion.values.active[i] === 1 ? [arrive[i], finish[i], leave[i]] : null))).toEqual(told);
      }
    }), { numRuns: 120 });
  });

  it('has every step come after what it waits for', () => {
    fc.assert(fc.property(anyLine(false), anyPeriod, (sim, [from, to]) => {
      const { recursion: { graph } } = prepared(simulateLine(sim), from, to);
      for (let p = 0; p < graph.order.length; p++) {
        const node = graph.order[p]!;
        expect(graph.at[node]).toBe(p);
        if (graph.prev[node]! >= 0) expect(graph.at[graph.prev[node]!]).toBeLessThan(p);
        for (let i = graph.followers.start[p]!; i < graph.followers.start[p + 1]!; i++) expect(graph.followers.items[i]).toBeGreaterThan(p);
      }
    }), { numRuns: 100 });
  });

  it('brings the times of all that was built to what really was, in milliseconds', () => {
    fc.assert(fc.property(fc.boolean().chain((together) => anyLine(together)), anyPeriod, (sim, [from, to]) => {
      const { plan, recursion, deviations, putIn } = prepared(simulateLine(sim), from, to);
      for (const deviation of deviations) putIn(deviation);
      plan.steps.forEach(({ visit, built, standing, came }, i) => {
        expect(recursion.values.active[i]).toBe(built ? 1 : 0);
        if (!built || came === Number.POSITIVE_INFINITY || standing) return;
        expect(recursion.times.arrive[i]).toBe(plan.after(came));
        if (visit?.finished) expect(recursion.times.finish[i]).toBe(plan.after(visit.finished));
        if (visit?.stay.left) expect(recursion.times.leave[i]).toBe(plan.after(visit.stay.left));
      });
    }), { numRuns: 200 });
  });
});
