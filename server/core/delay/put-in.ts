import type { LineHistory } from '../timeline/line-history.ts';
import { type RealOrder, realOrder } from './coming-order.ts';
import { type Deviation, inOrderOfBeginning } from './deviation.ts';
import { movementDeviations } from './movement-deviations.ts';
import type { Plan } from './plan.ts';
import { type PlanGraph, planGraph } from './plan-graph.ts';
import { type Rolls, rollsOf } from './plan-rolls.ts';
import { plannedValues, type PlanValues } from './plan-values.ts';
import { emptyTimes, recurAll, recurFrom, type Recursion } from './recursion.ts';
import { visitDeviations } from './visit-deviations.ts';

/** The recursion at the plan, what deviates from it in the order of beginning, and how to put one in (definitions §5). */
export function preparedDelay(plan: Plan, history: LineHistory): { recursion: Recursion; deviations: Deviation[]; putIn: (deviation: Deviation) => void } {
  const rolls = rollsOf(plan);
  const real = realOrder(plan);
  const built = builtRecursion(plan, rolls, real, visitDeviations(plan, history));
  const deviations = inOrderOfBeginning(built);
  const values = plannedValues(plan, rolls.count);
  const without = deviations.flatMap(({ gap }) => gap ?? []);
  const recursion = recursionOver(plan, values, planGraph(plan, values, rolls, real, without));
  recurAll(recursion);
  const putIn = (deviation: Deviation): void => {
    const { changes, added, dropped, gap } = deviation;
    for (const step of added) values.active[step] = 1;
    for (const step of dropped) values.active[step] = 0;
    if (gap) without.splice(without.indexOf(gap), 1);
    const changed = change(recursion, changes);
    const sameGraph = !gap && added.length === 0 && dropped.length === 0;
    if (changed && sameGraph) return recurFrom(recursion, changed);
    if (!sameGraph) recursion.graph = planGraph(plan, values, rolls, real, without);
    recurAll(recursion);
  };
  return { recursion, deviations, putIn };
}

/** Everything put in: the deviations of visits as told, those of movements as they are found on the way. */
function builtRecursion(plan: Plan, rolls: Rolls, real: RealOrder, visits: Deviation[]): Deviation[] {
  const values = plannedValues(plan, rolls.count);
  plan.steps.forEach(({ built }, i) => { values.active[i] = built ? 1 : 0; });
  const recursion = recursionOver(plan, values, planGraph(plan, values, rolls, real, []));
  for (const { changes } of visits) change(recursion, changes);
  return [...visits, ...movementDeviations(plan, recursion, rolls)];
}

function recursionOver(plan: Plan, values: PlanValues, graph: PlanGraph): Recursion {
  const floor = new Float64Array(plan.steps.length);
  for (const { steps, exitBefore } of plan.units) if (exitBefore !== null) floor[steps.at(-1)!] = exitBefore;
  return { graph, values, times: emptyTimes(graph.prev.length), steps: plan.steps.length, pace: plan.pace, floor };
}

/** Changes the values, and tells at which places of the order; null where a release changed, of which others may follow. */
function change({ graph, values, steps }: Recursion, changes: Deviation['changes']): number[] | null {
  const changed: number[] = [];
  let released = false;
  for (const { what, index, how, value } of changes) {
    const own = values[what];
    own[index] = how === 'to' ? value : how === 'by' ? own[index]! + value : Math.max(own[index]!, value);
    released ||= what === 'release' || what === 'rollRelease' || what === 'follows';
    const at = released ? -1 : graph.at[what === 'rollLag' ? steps + index : index]!;
    if (at >= 0) changed.push(at);
  }
  return released ? null : changed;
}
