import { emptyUnit } from './movement.ts';
import type { UnitState } from './unit-state.ts';

/** A unit's state without what it shares with a serial of which nothing is known: most of it, for most units. */
export type BriefState = Pick<UnitState, 'unit'> & Partial<UnitState>;

const { unit: _unit, ...nothingKnown } = emptyUnit('');
const UNKNOWN = Object.entries(nothingKnown) as [keyof UnitState, unknown][];

export function briefState(state: UnitState): BriefState {
  const brief: Record<string, unknown> = { unit: state.unit };
  for (const [field, unknown] of UNKNOWN) {
    const value = state[field];
    const isSame = value === unknown || (Array.isArray(unknown) && Array.isArray(value) && value.length === 0);
    if (!isSame) brief[field] = value;
  }
  return brief as BriefState;
}

/** The state that `brief` was made of. */
export function fullState(brief: BriefState): UnitState {
  return { ...emptyUnit(brief.unit), ...brief };
}
