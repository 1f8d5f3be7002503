import type { Fact, Recorded, Roll } from '../core/facts/fact.ts';
import { isPlaceFact } from '../core/facts/fold-places.ts';
import { unknownVoids } from '../core/facts/unknown-voids.ts';
import { compareFacts } from '../core/facts/order.ts';
import type { SetupVersion } from '../core/setup/plant.ts';
import type { Tx } from '../store/database.ts';
import { allUnits, unitsRolled, whereaboutsOf } from '../store/derived/whereabouts.ts';
import { deleteFlagsOfPlaces, insertFlags } from '../store/derived/flags.ts';
import { crossingFacts } from '../store/facts/crossing-facts.ts';
import { stationsOfStops } from '../store/facts/stations-of-stops.ts';
import { flagRecording, follows, goOn, isFeeding, type Moving } from './go-on.ts';
import { refoldPlaces } from './refold-places.ts';
import { type RefoldedUnits, refoldUnits, saveRefolded } from './refold-units.ts';
import { tiedUnits, touchedBy } from './touched-by.ts';

/**
 * Brings whereabouts, stays, flags and stops up to `fresh`, facts that the log has just been given in this transaction. A unit whose
 * new facts all follow its last one goes on from where it stood; any other is folded anew from all its facts.
 */
export async function foldBatch(tx: Tx, plant: string, fresh: readonly Recorded[], setups: readonly SetupVersion[]): Promise<void> {
  const from = Math.min(...fresh.map((fact) => fact.happened));
  const crossing = await crossingFacts(tx, plant, fresh.map((fact) => fact.id), from);
  const touched = await touchedBy(tx, plant, fresh, crossing);
  const rolls = touched.facts.filter((fact): fact is Roll => fact.kind === 'roll');
  const own = new Map<string, Moving[]>();
  for (const fact of touched.facts) if ('unit' in fact) own.set(fact.unit, [...(own.get(fact.unit) ?? []), fact]);
  const anew = new Set<string>();
  await addRolled(tx, plant, rolls, crossing, fresh, own, anew);
  const standing = await whereaboutsOf(tx, plant, [...own.keys()]);
  const onward: RefoldedUnits = { whereabouts: [], stays: [], flags: [] };
  const lateRoll = crossing.some((fact) => fact.kind === 'roll' && !fresh.includes(fact) && !fresh.some(({ id }) => id === fact.id));
  for (const [unit, facts] of own) {
    const all = [...facts, ...rolls].sort(compareFacts);
    const tied = tiedUnits([unit], crossing);
    const before = standing.get(unit) ?? null;
    const late = !follows(all[0]!, before);
    if (anew.has(unit) || late || lateRoll || tied.size > 1 || facts.some((fact) => touched.voided.has(fact.id) || isFeeding(fact, setups)) || rolls.some(({ id }) => touched.voided.has(id))) {
      for (const other of tied) anew.add(other);
    } else {
      goOn(onward, unit, before, all, setups);
    }
  }
  onward.whereabouts = onward.whereabouts.filter(({ state }) => !anew.has(state.unit));
  const recorded = new Map(fresh.map((fact) => [fact.id, fact]));
  for (const [unit, facts] of own) if (!anew.has(unit)) flagRecording(onward, unit, facts.map(({ id }) => recorded.get(id)!));
  await saveRefolded(tx, plant, onward);
  await refoldUnits(tx, plant, [...tiedUnits(anew, crossing)], setups);
  await foldPlacesOf(tx, plant, touched.facts, setups);
  await flagUnknownVoids(tx, plant, fresh, crossing, touched.facts);
}

/** A void of a fact that the log does not have is flagged until that fact comes (definitions §2: a void may reach the server first). */
async function flagUnknownVoids(tx: Tx, plant: string, fresh: readonly Recorded[], crossing: readonly Recorded[], known: readonly Fact[]): Promise<void> {
  const arrived = new Set(fresh.map(({ id }) => id));
  const answered = crossing.filter((fact) => fact.kind === 'void' && arrived.has(fact.fact) && !arrived.has(fact.id));
  if (answered.length > 0) await deleteFlagsOfPlaces(tx, plant, answered.map(({ id }) => id));
  const newVoids = fresh.filter((fact) => fact.kind === 'void');
  if (newVoids.length > 0) await insertFlags(tx, plant, unknownVoids(known).filter(({ fact }) => arrived.has(fact)));
}

/** A roll concerns every unit on its line. One that came late, or no longer counts, may concern any unit. */
async function addRolled(
  tx: Tx, plant: string, rolls: readonly Roll[], crossing: readonly Recorded[], fresh: readonly Recorded[], own: Map<string, Moving[]>, anew: Set<string>,
): Promise<void> {
  if (rolls.length === 0) return;
  const ids = new Set(fresh.map((fact) => fact.id));
  const alone = rolls.every(({ id }) => ids.has(id)) && crossing.every((fact) => fact.kind !== 'roll' || ids.has(fact.id));
  if (!alone) for (const unit of await allUnits(tx, plant)) anew.add(unit);
  for (const { line, happened } of alone ? rolls : []) {
    for (const unit of await unitsRolled(tx, plant, line, happened)) if (!own.has(unit)) own.set(unit, []);
  }
}

async function foldPlacesOf(tx: Tx, plant: string, facts: readonly Fact[], setups: readonly SetupVersion[]): Promise<void> {
  const stations = new Set<string>();
  const lines = new Set<string>();
  for (const fact of facts.filter(isPlaceFact)) {
    if ('station' in fact && fact.station !== null) stations.add(fact.station);
    if ('line' in fact && fact.line !== null) lines.add(fact.line);
  }
  const stops = facts.flatMap((fact) => (fact.kind === 'openStop' ? [fact.id] : fact.kind === 'clearStop' ? [fact.stop] : []));
  for (const station of await stationsOfStops(tx, plant, stops)) stations.add(station);
  await refoldPlaces(tx, plant, [...stations], [...lines], setups);
}
