import type { ClearHold, Fact, FitShort, OpenHold } from './fact.ts';
import { type Change, flagOf, noChange } from './movement.ts';
import type { UnitState } from './unit-state.ts';

type TroubleFact = OpenHold | ClearHold | FitShort;

export function isTroubleFact(fact: Fact): fact is TroubleFact {
  return fact.kind === 'openHold' || fact.kind === 'clearHold' || fact.kind === 'fitShort';
}

/** Holds opened and cleared, and what was left short fitted. */
export function evolveTrouble(state: UnitState, fact: TroubleFact): Change {
  if (fact.kind === 'openHold') {
    const { id, reason, keepsFrom, fromStation, note, happened, who } = fact;
    return noChange({ ...state, holds: [...state.holds, { id, reason, keepsFrom, fromStation, note, opened: happened, who }] });
  }
  if (fact.kind === 'clearHold') {
    const holds = state.holds.filter((hold) => hold.id !== fact.hold);
    if (holds.length < state.holds.length) return noChange({ ...state, holds });
    return { ...noChange(state), flags: [flagOf(fact, state, 'unknownTarget', fact.hold)] };
  }
  const shorts = state.shorts.filter((open) => open.short !== fact.short || open.item !== fact.item);
  if (shorts.length < state.shorts.length) return noChange({ ...state, shorts });
  return { ...noChange(state), flags: [flagOf(fact, state, 'unknownTarget', fact.short)] };
}
