import { checksFor, checkStanding } from '../gates/check.ts';
import { missingForRelease } from '../gates/release.ts';
import type { Plant, SetupVersion } from '../setup/plant.ts';
import { findLine, setupAt } from '../setup/setup-at.ts';
import type { Fact } from './fact.ts';
import { type Change, flagOf } from './movement.ts';
import type { BreachState } from './quality-state.ts';
import type { UnitStage, UnitState } from './unit-state.ts';

/** Facts by which a unit leaves the station where it stood for somewhere further on; one pulled off for repair passes no gate. */
const LEAVING: readonly Fact['kind'][] = ['arrive', 'putBack', 'leave', 'leaveShort', 'park', 'roll', 'seen', 'ship'];

/** The change that a fact makes, with the gates of definitions §8 held against it: a check left behind, a release that does not count. */
export function gated(before: UnitState, fact: Fact, change: Change, plant: Plant | null, setups: readonly SetupVersion[]): Change {
  return releaseGate(before, fact, checkGate(before, fact, change, plant), setups);
}

/** The unit left a station without having passed its checks: recorded, flagged, and a breach until it is settled. */
function checkGate(before: UnitState, fact: Fact, change: Change, plant: Plant | null): Change {
  const station = before.place?.station ?? null;
  if (!plant?.checks?.length || station === null || change.state.place?.station === station || !LEAVING.includes(fact.kind)) return change;
  const { model, options, checks } = before;
  const left = checksFor(plant, model, options)
    .filter((check) => check.station === station && checkStanding(check, checks.find((one) => one.check === check.code), fact.happened) !== 'passed');
  if (left.length === 0) return change;
  const breaches = left.map(({ code }): BreachState => ({ id: `${fact.id}/check/${code}`, gate: 'check', detail: code, station, at: fact.happened, who: fact.who, settled: null }));
  // A check is left behind once: leaving it again before it is passed says nothing new.
  const fresh = breaches.filter((breach) => !before.breaches.some((one) => one.gate === 'check' && one.detail === breach.detail && one.settled === null));
  const flags = left.map(({ code }) => ({ ...flagOf(fact, before, 'pastCheck', code), station }));
  return { ...change, state: { ...change.state, breaches: [...change.state.breaches, ...fresh] }, flags: [...change.flags, ...flags] };
}

/**
 * No unit stands as released while something is missing: a release that the gate does not let through does not count, and one that counted is
 * taken back by the fact that shows otherwise. It is measured by the set-up of its own instant, as is the age of the passes.
 */
function releaseGate(before: UnitState, fact: Fact, change: Change, setups: readonly SetupVersion[]): Change {
  const { state } = change;
  if (state.released === null || state.shipped !== null || (state === before && fact.kind !== 'release')) return change;
  const plant = setupAt(setups, state.released)?.plant;
  const missing = plant ? missingForRelease(state, plant, state.released) : [];
  const counts = missing.length === 0;
  if (counts) return fact.kind === 'release' && state.releaseLost !== null ? { ...change, state: { ...state, releaseLost: null } } : change;
  const releaseLost = { fact: fact.id, at: fact.happened, missing: missing.map(({ kind, what }) => `${kind}: ${what}`) };
  const stage = fact.kind === 'release' ? before.stage : stageWithout(state, plant);
  const code = fact.kind === 'release' ? 'notReadyToShip' : 'releaseTakenBack';
  const stageSince = stage === before.stage ? before.stageSince : fact.happened;
  return { ...change, state: { ...state, released: null, stage, stageSince, releaseLost }, flags: [...change.flags, flagOf(fact, state, code, releaseLost.missing.join('; '))] };
}

/** Where a unit is whose release was taken back. */
function stageWithout({ place, stage }: UnitState, plant: Plant | undefined): UnitStage {
  if (stage !== 'released') return stage;
  const line = place?.line && plant ? findLine(plant, place.line) : null;
  return line ? (line.purpose === 'inspection' ? 'inspection' : 'onLine') : 'yard';
}
