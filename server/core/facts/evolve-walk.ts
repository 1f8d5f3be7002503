import type { Plant } from '../setup/plant.ts';
import type { Missing, Seen } from './fact.ts';
import type { FlagCode } from './flag.ts';
import { arriveAt, type Change, closePlace, flagOf, noChange } from './movement.ts';
import type { UnitState } from './unit-state.ts';

/** What a walk cannot tell: which way the unit came to where it is found. */
const OF_THE_WAY: readonly FlagCode[] = ['skippedStations', 'backwards', 'notOnRoute'];

/** Found on a walk. Where it was said to be, this confirms it; elsewhere it stands there from now on, flagged. */
export function seen(state: UnitState, fact: Seen, plant: Plant | null): Change {
  const now = { ...state, seen: fact.happened };
  if (state.place?.station === fact.station) {
    const slot = fact.slot === '' ? state.place.slot : fact.slot;
    const moved = slot !== state.place.slot;
    return { state: { ...now, place: { ...state.place, slot } }, flags: moved ? [flagOf(fact, state, 'seenElsewhere', state.place.slot)] : [], closed: null };
  }
  const { kind: _, slot, ...found } = fact;
  const came = arriveAt(now, { ...found, kind: 'arrive' }, plant);
  const flags = came.flags.filter(({ code }) => !OF_THE_WAY.includes(code));
  const place = came.state.place && { ...came.state.place, slot };
  return { ...came, state: { ...came.state, place }, flags: [...flags, flagOf(fact, state, 'seenElsewhere', state.place?.station ?? '')] };
}

/** Not found where it was said to be: it stands nowhere known until it is scanned or found. */
export function missing(state: UnitState, fact: Missing): Change {
  if (state.place?.station !== fact.station) return { ...noChange(state), flags: [flagOf(fact, state, 'notHere', state.place?.station ?? '')] };
  return { state: { ...state, place: null }, flags: [flagOf(fact, state, 'notFound', fact.station)], closed: closePlace(state, fact.happened, 'notFound') };
}
