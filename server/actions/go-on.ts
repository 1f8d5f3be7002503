import { emptyUnit, evolve } from '../core/facts/evolve.ts';
import type { Fact, Recorded, Roll, UnitFact } from '../core/facts/fact.ts';
import { compareFacts } from '../core/facts/order.ts';
import type { SetupVersion } from '../core/setup/plant.ts';
import { findStation, setupAt } from '../core/setup/setup-at.ts';
import type { Whereabouts } from '../store/derived/whereabouts.ts';
import { recordingFlags } from './recording-flags.ts';
import type { RefoldedUnits } from './refold-units.ts';

export type Moving = UnitFact | Roll;

/** Adds to `onward` what `facts`, in order and all after the unit's last one, make of the unit that stood at `before`. */
export function goOn(onward: RefoldedUnits, unit: string, before: Whereabouts | null, facts: readonly Moving[], setups: readonly SetupVersion[]): Whereabouts | null {
  let state = before?.state ?? emptyUnit(unit);
  let last = before?.last ?? null;
  const stays = new Map<string, RefoldedUnits['stays'][number]>();
  for (const fact of facts) {
    const change = evolve(state, fact, setups);
    state = change.state;
    if (fact.kind !== 'roll') last = { happened: fact.happened, counter: fact.counter, device: fact.device, id: fact.id };
    onward.flags.push(...change.flags);
    if (change.closed) stays.set(change.closed.arrivedBy, change.closed);
  }
  const { place } = state;
  if (place && place.line !== null) {
    stays.set(place.broughtBy, {
      unit, line: place.line, station: place.station, arrived: place.since, arrivedBy: place.broughtBy, finished: place.finished, left: null, leftHow: null,
    });
  }
  onward.stays.push(...stays.values());
  const now = last ? { state, last } : null;
  if (now) onward.whereabouts.push(now);
  return now;
}

/** The flags that come from when facts of `unit` were recorded. */
export function flagRecording(onward: RefoldedUnits, unit: string, facts: readonly Recorded[]): void {
  for (const fact of facts) onward.flags.push(...recordingFlags(fact, unit));
}

/** Whether `fact` comes after everything the unit's whereabouts hold. */
export function follows(fact: Fact, before: Whereabouts | null): boolean {
  if (before === null) return true;
  const { last } = before;
  return compareFacts({ kind: 'void', fact: last.id, reason: '', told: false, who: '', ...last }, fact) < 0;
}

/** Parts of a unit stand on feeder lines beside its body: those stays are folded from all facts. */
export function isFeeding(fact: Fact, setups: readonly SetupVersion[]): boolean {
  if (fact.kind !== 'arrive' && fact.kind !== 'finish' && fact.kind !== 'leave') return false;
  const plant = setupAt(setups, fact.happened)?.plant;
  return plant ? findStation(plant, fact.station)?.line?.purpose === 'feeder' : false;
}
