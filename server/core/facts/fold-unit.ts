import type { SetupVersion } from '../setup/plant.ts';
import { findStation, setupAt } from '../setup/setup-at.ts';
import type { HoldInterval, Stay, UnitHistory } from '../timeline/line-history.ts';
import { emptyUnit, evolve, isGone } from './evolve.ts';
import type { Fact, Roll, UnitFact } from './fact.ts';
import type { Flag } from './flag.ts';
import type { UnitState } from './unit-state.ts';
import { identifiedAs } from './identified-as.ts';
import { effectiveFacts } from './voids.ts';

export interface FoldedUnit {
  state: UnitState;
  history: UnitHistory;
  flags: Flag[];
}

/** Facts that count (`effectiveFacts`) and concern a unit: its own, those of what was identified as it, and every roll. */
export function factsOfUnit(unit: string, counting: readonly Fact[]): (UnitFact | Roll)[] {
  const identified = identifiedAs(counting);
  return counting.filter((fact): fact is UnitFact | Roll => fact.kind === 'roll' || ('unit' in fact && (identified.get(fact.unit) ?? fact.unit) === unit));
}

/**
 * Everything that the set of facts says of `unit` (definitions §2): a function of the set, whatever the order of arrival.
 * `facts` may hold facts of others; they make no difference.
 */
export function foldUnit(unit: string, facts: readonly Fact[], setups: readonly SetupVersion[]): FoldedUnit {
  return foldOwn(unit, factsOfUnit(unit, effectiveFacts(facts)), setups);
}

/** The fold over a unit's own facts and rolls, already in order and without voids. */
export function foldOwn(unit: string, own: readonly (UnitFact | Roll)[], setups: readonly SetupVersion[]): FoldedUnit {
  let state = emptyUnit(unit);
  const flags: Flag[] = [];
  const stays: Stay[] = [];
  const offLine: UnitHistory['offLine'] = [];
  const counting: (UnitFact | Roll)[] = [];
  for (const fact of own) {
    if (!isGone(state)) counting.push(fact);
    const change = evolve(state, fact, setups);
    if (change.closed) stays.push(change.closed);
    flags.push(...change.flags);
    if (change.state.stage === 'offLine' && state.stage !== 'offLine') offLine.push({ from: fact.happened, to: null });
    if (change.state.stage !== 'offLine' && state.stage === 'offLine') offLine[offLine.length - 1]!.to = fact.happened;
    state = change.state;
  }
  const { place } = state;
  if (place && place.line !== null) {
    stays.push({ unit, line: place.line, station: place.station, arrived: place.since, arrivedBy: place.broughtBy, finished: place.finished, left: null, leftHow: null });
  }
  stays.push(...feederStays(unit, counting, setups));
  const history: UnitHistory = {
    unit, model: state.model ?? '', options: state.options, sequence: state.sequence, plannedRelease: state.plannedRelease,
    stays: stays.sort((a, b) => a.arrived - b.arrived), holds: holdIntervals(unit, own), offLine, gone: state.shipped ?? state.cancelled,
  };
  return { state, history, flags };
}

/** Each hold with the instant it was cleared at, also where the clearing was stated for before the opening. */
function holdIntervals(unit: string, own: readonly Fact[]): HoldInterval[] {
  const cleared = new Map<string, number>();
  for (const fact of own) if (fact.kind === 'clearHold' && !cleared.has(fact.hold)) cleared.set(fact.hold, fact.happened);
  return own.flatMap((fact) => {
    if (fact.kind !== 'openHold') return [];
    const { id, reason, keepsFrom, fromStation, happened } = fact;
    return [{ id, unit, reason, keepsFrom, fromStation, opened: happened, cleared: cleared.get(id) ?? null }];
  });
}

/** Stays of the unit's parts on feeder lines: they run beside those of its body. */
function feederStays(unit: string, own: readonly Fact[], setups: readonly SetupVersion[]): Stay[] {
  const open = new Map<string, Stay>();
  const stays: Stay[] = [];
  for (const fact of own) {
    if (fact.kind !== 'arrive' && fact.kind !== 'finish' && fact.kind !== 'leave') continue;
    const plant = setupAt(setups, fact.happened)?.plant;
    const line = plant && findStation(plant, fact.station)?.line;
    if (!line || line.purpose !== 'feeder') continue;
    const stay = open.get(line.code);
    if (fact.kind === 'finish' && stay?.station === fact.station) stay.finished ??= fact.happened;
    if (stay && (fact.kind === 'arrive' || (fact.kind === 'leave' && stay.station === fact.station))) {
      stay.left = fact.happened;
      stay.leftHow = fact.kind === 'arrive' ? 'implied' : 'scanned';
      open.delete(line.code);
    }
    if (fact.kind === 'arrive') {
      const next: Stay = { unit, line: line.code, station: fact.station, arrived: fact.happened, arrivedBy: fact.id, finished: null, left: null, leftHow: null };
      open.set(line.code, next);
      stays.push(next);
    }
  }
  return stays;
}
