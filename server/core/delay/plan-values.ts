import type { Plan } from './plan.ts';

/** What the recursion reads of each step, in working milliseconds from the beginning of the period; deviations change it. */
export interface PlanValues {
  active: Uint8Array;
  work: Float64Array;
  /** The finished unit may not move before this. */
  keep: Float64Array;
  /** Minutes between the earliest coming and the coming. */
  lag: Float64Array;
  /** For a unit that leaves its place before it comes to the next: minutes between ready and its leave. */
  partedLag: Float64Array;
  /** By unit: not released before this. -Infinity: as soon as there is a place. */
  release: Float64Array;
  /** By unit: the roll that it enters with does not happen before this. */
  rollRelease: Float64Array;
  /** By unit: released one pace after the release before it. */
  follows: Uint8Array;
  /** By roll that happened in the period: minutes between its earliest instant and the roll. */
  rollLag: Float64Array;
}

/** The values of the plan at the beginning of the period, nothing put in yet. */
export function plannedValues(plan: Plan, rolls: number): PlanValues {
  const { steps, units } = plan;
  const values: PlanValues = {
    active: Uint8Array.from(steps, ({ planned }) => (planned ? 1 : 0)),
    work: Float64Array.from(steps, ({ visit, planned, standard, came }) => {
      if (visit) return planned ? visit.toDo : 0;
      return planned || came === Number.POSITIVE_INFINITY ? standard : 0;
    }),
    keep: new Float64Array(steps.length).fill(Number.NEGATIVE_INFINITY),
    lag: new Float64Array(steps.length),
    partedLag: new Float64Array(steps.length),
    release: Float64Array.from(units, ({ plannedRelease }) => Math.max(0, plannedRelease ?? 0)),
    rollRelease: new Float64Array(units.length),
    follows: new Uint8Array(units.length),
    rollLag: new Float64Array(rolls),
  };
  const { releases, releasedBefore, pace } = plan;
  releases.forEach((unit, i) => {
    if (units[unit]!.plannedRelease !== null) return;
    if (i > 0) values.follows[unit] = 1;
    else if (releasedBefore !== null) values.release[unit] = Math.max(0, releasedBefore + pace);
  });
  values.rollRelease.set(values.release);
  return values;
}
