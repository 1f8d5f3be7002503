import type { BindVin, Cancel, ChangeBuild, ChangeDealer, ComeBack, Fact, Identify, Promise_, PutOnLoad, Register, Release, Replan, Resequence, RevokeRelease, Ship, Wish } from './fact.ts';
import type { Flag } from './flag.ts';
import type { BreachState } from './quality-state.ts';
import { type Change, closePlace, flagOf, heldFrom, noChange } from './movement.ts';
import { vinFaultCodes, vinIn } from '../gates/vin.ts';
import type { UnitState } from './unit-state.ts';

type OfficeFact = BindVin | Cancel | ChangeBuild | ChangeDealer | ComeBack | Identify | Promise_ | PutOnLoad | Register | Release | Replan | Resequence | RevokeRelease | Ship | Wish;

const OFFICE_KINDS: readonly Fact['kind'][] = [
  'bindVin', 'cancel', 'changeBuild', 'changeDealer', 'comeBack', 'identify', 'promise', 'putOnLoad', 'register', 'release', 'replan', 'resequence', 'revokeRelease', 'ship', 'wish',
];

export function isOfficeFact(fact: Fact): fact is OfficeFact {
  return OFFICE_KINDS.includes(fact.kind);
}

/** What the office says of a unit: its build and schedule, release, shipment, return, cancellation. */
export function evolveOffice(state: UnitState, fact: OfficeFact): Change {
  const scheduled = schedule(state, fact);
  if (scheduled) return { ...noChange(scheduled), flags: scheduleFlags(state, fact) };
  const at = fact.happened;
  switch (fact.kind) {
    case 'release':
      if (state.shipped !== null || state.cancelled !== null) return { ...noChange(state), flags: [flagOf(fact, state, 'gone', '')] };
      return noChange({ ...state, released: at, stage: 'released', stageSince: at });
    case 'revokeRelease':
      if (state.released === null || state.shipped !== null) return { ...noChange(state), flags: [flagOf(fact, state, 'notReleased', '')] };
      return noChange({ ...state, released: null, stage: state.stage === 'released' ? 'yard' : state.stage, stageSince: at });
    case 'ship': {
      const flags = heldFrom(state, fact, 'shipping', null);
      if (state.released === null) flags.push(flagOf(fact, state, 'notReleased', ''));
      if (state.shipped !== null) flags.push(flagOf(fact, state, 'twice', ''));
      if (state.cancelled !== null) flags.push(flagOf(fact, state, 'gone', ''));
      const next = { ...state, place: null, shipped: at, carrier: fact.carrier, stage: 'shipped' as const, stageSince: at, breaches: [...state.breaches, ...releasePassed(state, fact)] };
      return { state: next, flags, closed: closePlace(state, at, 'shipped') };
    }
    case 'comeBack':
      if (state.shipped === null) return { ...noChange(state), flags: [flagOf(fact, state, 'twice', '')] };
      return noChange({ ...state, shipped: null, carrier: '', released: null, seenGone: null, load: null, cameBack: { at, reason: fact.reason, load: state.load }, stage: state.cancelled === null ? 'yard' : 'cancelled', stageSince: at });
    case 'putOnLoad':
      if (state.shipped !== null || state.cancelled !== null) return { ...noChange(state), flags: [flagOf(fact, state, 'gone', fact.load ?? '')] };
      return noChange({ ...state, load: fact.load });
    case 'cancel':
      if (state.shipped !== null) return { ...noChange({ ...state, cancelled: at }), flags: [flagOf(fact, state, 'gone', '')] };
      return { state: { ...state, place: null, load: null, cancelled: at, stage: 'cancelled', stageSince: at }, flags: [], closed: closePlace(state, at, 'parked') };
    default:
      return noChange(state);
  }
}

/** A unit that goes without its release passes that gate; the override that lets it go settles it. */
function releasePassed(state: UnitState, { id, happened: at, who, override }: Ship): BreachState[] {
  if (state.released !== null || state.shipped !== null) return [];
  return [{ id: `${id}/release`, gate: 'release', detail: '', station: null, at, who, settled: override === undefined ? null : { at, who, reason: override } }];
}

function scheduleFlags(state: UnitState, fact: OfficeFact): Flag[] {
  if (fact.kind === 'register' && state.known) return [flagOf(fact, state, 'registeredTwice', '')];
  const wrong = fact.kind === 'bindVin' ? vinFaultCodes(vinIn(fact.vin)) : '';
  return wrong === '' ? [] : [flagOf(fact, state, 'vinWrong', wrong)];
}

/** The state with what a fact of the schedule says, or null for another fact. */
function schedule(state: UnitState, fact: OfficeFact): UnitState | null {
  switch (fact.kind) {
    case 'register': {
      const { model, options, order, dealer, sequence, plannedRelease, wish } = fact;
      return { ...promised(state, fact, ''), known: true, model, options, order, dealer, sequence, plannedRelease, wish };
    }
    case 'bindVin': return { ...state, vin: vinIn(fact.vin) };
    case 'resequence': return { ...state, sequence: fact.sequence };
    case 'replan': return { ...state, plannedRelease: fact.plannedRelease };
    case 'wish': return { ...state, wish: fact.wish };
    case 'changeDealer': return { ...state, dealer: fact.dealer };
    case 'changeBuild': return { ...state, model: fact.model, options: fact.options };
    case 'promise': return promised(state, fact, fact.reason);
    default: return null;
  }
}

/** The first promise is kept, and who moved the current one (definitions §7). To promise the same again moves nothing. */
function promised(state: UnitState, { promise, who, happened }: Promise_ | Register, reason: string): UnitState {
  if (promise === state.promise) return state;
  const promiseMoved = state.firstPromise === null ? state.promiseMoved : { who, at: happened, reason };
  return { ...state, promise, firstPromise: state.firstPromise ?? promise, promiseMoved };
}
