import { findLine, findStation, nextOnRoute, routeOf, setupAt } from '../setup/setup-at.ts';
import type { Plant, SetupVersion } from '../setup/plant.ts';
import type { Stay } from '../timeline/line-history.ts';
import type { Fact, Roll, UnitFact } from './fact.ts';
import type { Flag } from './flag.ts';
import { evolveOffice, isOfficeFact } from './evolve-office.ts';
import { evolveQuality, isQualityFact } from './evolve-quality.ts';
import { evolveTrouble, isTroubleFact } from './evolve-trouble.ts';
import { arriveAt, type Change, closePlace, flagOf, heldFrom, noChange, stageAt } from './movement.ts';
import { gated } from './gates-of-fact.ts';
import type { QualityFact } from './quality-facts.ts';
import { missing, seen } from './evolve-walk.ts';
import type { UnitState } from './unit-state.ts';

export { emptyUnit } from './movement.ts';

export interface Evolved {
  state: UnitState;
  flags: Flag[];
  /** The stay at a station of a line that this fact ended. */
  closed: Stay | null;
}

/**
 * The unit's state after one more fact of its own, or a roll of its line: facts in `compareFacts` order, voided ones left out.
 * Never throws on what the floor says; what surprises is flagged.
 */
export function evolve(state: UnitState, fact: UnitFact | Roll, setups: readonly SetupVersion[]): Evolved {
  const plant = setupAt(setups, fact.happened)?.plant ?? null;
  if (isOfficeFact(fact)) return gated(state, fact, evolveOffice(state, fact), plant, setups);
  const gone = isGone(state) && fact.kind !== 'roll';
  const change = gated(state, fact, floorFact(state, fact, gone, plant, setups), plant, setups);
  const flags = [...change.flags];
  if (!state.known && fact.kind !== 'roll') flags.unshift(flagOf(fact, state, 'unknownUnit', ''));
  // A campaign calls in units that were shipped long ago.
  if (gone && fact.kind !== 'openCampaign' && fact.kind !== 'signStep') flags.push(flagOf(fact, state, 'gone', ''));
  return { ...change, flags };
}

function floorFact(state: UnitState, fact: MovingFact | TroubleFact | QualityFact, gone: boolean, plant: Plant | null, setups: readonly SetupVersion[]): Change {
  if (isTroubleFact(fact)) return evolveTrouble(state, fact);
  if (isQualityFact(fact)) return evolveQuality(state, fact, plant, setups);
  return gone ? seenGone(state, fact) : moved(state, fact, plant);
}

/** Shipped or cancelled: its scans are kept and flagged, but move nothing. */
export function isGone(state: UnitState): boolean {
  return state.shipped !== null || state.cancelled !== null;
}

type TroubleFact = Parameters<typeof evolveTrouble>[1];
type MovingFact = Exclude<UnitFact | Roll, Parameters<typeof evolveOffice>[1] | TroubleFact | QualityFact>;

function moved(state: UnitState, fact: MovingFact, plant: Plant | null): Change {
  switch (fact.kind) {
    case 'arrive': return arriveAt(state, fact, plant);
    case 'putBack': return arriveAt(state, fact, plant);
    case 'finish': return finish(state, fact);
    case 'leave': return leave(state, fact, 'scanned');
    case 'leaveShort': {
      const left = leave(state, fact, 'short');
      const opened = fact.items.map(({ what, owner, fitAt, expected, zone = null }, item) =>
        ({ short: fact.id, item, what, owner, fitAt, expected, zone, station: fact.station, opened: fact.happened }));
      return { ...left, state: { ...left.state, shorts: [...left.state.shorts, ...opened] } };
    }
    case 'pullOff': {
      const closed = closePlace(state, fact.happened, 'pulledOff');
      const place = fact.to === null ? null : placeOutside(fact, fact.to, '');
      return { state: { ...state, place, stage: 'offLine', stageSince: fact.happened, offLineReason: fact.reason }, flags: heldFrom(state, fact, 'leaving', null), closed };
    }
    case 'park': return park(state, fact, plant);
    case 'seen': return seen(state, fact, plant);
    case 'missing': return missing(state, fact);
    case 'roll': return plant ? roll(state, fact, plant) : noChange(state);
  }
}

/**
 * A scan of a unit that is gone is a misread serial more often than a unit that came back unsaid, and a place on the board must not be
 * taken by either: it only says where the unit was seen. A `comeBack` dated before the scan, or a void of the cancellation, lets it count.
 */
function seenGone(state: UnitState, fact: MovingFact): Change {
  const station = fact.kind === 'park' ? fact.place : fact.kind === 'pullOff' ? fact.to : 'station' in fact && fact.kind !== 'missing' ? fact.station : null;
  return noChange(station === null ? state : { ...state, seenGone: { station, at: fact.happened } });
}

function placeOutside(fact: Fact, station: string, slot: string): UnitState['place'] {
  return { line: null, station, slot, since: fact.happened, finished: null, broughtBy: fact.id };
}

function finish(state: UnitState, fact: Extract<Fact, { kind: 'finish' }>): Change {
  if (state.place?.station !== fact.station) return { ...noChange(state), flags: [flagOf(fact, state, 'notHere', state.place?.station ?? '')] };
  if (state.place.finished !== null) return { ...noChange(state), flags: [flagOf(fact, state, 'twice', '')] };
  return { state: { ...state, place: { ...state.place, finished: fact.happened } }, flags: heldFrom(state, fact, 'work', null), closed: null };
}

function leave(state: UnitState, fact: Extract<Fact, { kind: 'leave' | 'leaveShort' }>, how: 'scanned' | 'short'): Change {
  if (state.place?.station !== fact.station) return { ...noChange(state), flags: [flagOf(fact, state, 'notHere', state.place?.station ?? '')] };
  const flags = heldFrom(state, fact, 'leaving', null);
  if (how === 'scanned' && state.place.finished === null) flags.push(flagOf(fact, state, 'noFinish', ''));
  return { state: { ...state, place: null }, flags, closed: closePlace(state, fact.happened, how) };
}

function park(state: UnitState, fact: Extract<Fact, { kind: 'park' }>, plant: Plant | null): Change {
  const found = plant && findStation(plant, fact.place);
  const leaves = state.place !== null && state.place.station !== fact.place;
  const flags = heldFrom(state, fact, leaves ? 'leaving' : null, fact.place);
  if (!found) flags.push(flagOf(fact, state, 'unknownStation', fact.place));
  const stage = stageAt(state, null);
  const stageSince = stage === state.stage ? state.stageSince : fact.happened;
  const next = { ...state, place: placeOutside(fact, fact.place, fact.slot), stage, stageSince };
  return { state: next, flags, closed: closePlace(state, fact.happened, 'parked') };
}

/** A roll moves a unit that stands on the line one place along its route; at the end of it the unit leaves the line. */
function roll(state: UnitState, fact: Roll, plant: Plant): Change {
  const line = findLine(plant, fact.line);
  if (!line || state.place?.line !== fact.line) return noChange(state);
  const closed = closePlace(state, fact.happened, 'rolled');
  const next = nextOnRoute(routeOf(plant, line, state.model, state.options), state.place.station);
  const flags = heldFrom(state, fact, 'leaving', next);
  if (state.place.finished === null) flags.push(flagOf(fact, state, 'notReady', state.place.station));
  if (next === null) return { state: { ...state, place: null, stage: 'yard', stageSince: fact.happened }, flags, closed };
  const place = { line: line.code, station: next, slot: '', since: fact.happened, finished: null, broughtBy: fact.id };
  return { state: { ...state, place, lastStation: next }, flags, closed };
}
