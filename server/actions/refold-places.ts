import { foldPlaces, type FoldedPlaces, isPlaceFact } from '../core/facts/fold-places.ts';
import type { Fact, Recorded } from '../core/facts/fact.ts';
import type { Flag } from '../core/facts/flag.ts';
import { effectiveFacts } from '../core/facts/voids.ts';
import type { SetupVersion } from '../core/setup/plant.ts';
import type { Tx } from '../store/database.ts';
import { deleteFlagsOfPlaces, insertFlags } from '../store/derived/flags.ts';
import { replaceStops } from '../store/derived/stops.ts';
import { factsOfPlaces } from '../store/facts/facts-of-places.ts';
import { recordingFlags } from './recording-flags.ts';

/** Stops and flags of stations and lines: a function of the set of facts and the set-up. */
export function refoldAllPlaces(facts: readonly Recorded[], setups: readonly SetupVersion[]): { stops: FoldedPlaces['stops']; flags: Flag[] } {
  const recorded = new Map(facts.map((fact) => [fact.id, fact]));
  const { stops, flags } = foldPlaces(facts, setups);
  const future = effectiveFacts(facts).filter(isPlaceFact).flatMap((fact) => recordingFlags(recorded.get(fact.id)!, null));
  return { stops, flags: [...flags, ...future] };
}

/** Folds stops and flags anew at `stations` and `lines`, from what was ever stated of them. */
export async function refoldPlaces(tx: Tx, plant: string, stations: readonly string[], lines: readonly string[], setups: readonly SetupVersion[]): Promise<void> {
  if (stations.length === 0 && lines.length === 0) return;
  const facts = await factsOfPlaces(tx, plant, stations, lines);
  const here = new Set(facts.filter((fact) => isAt(fact, stations, lines)).map((fact) => fact.id));
  const { stops, flags } = refoldAllPlaces(facts, setups);
  await deleteFlagsOfPlaces(tx, plant, [...here]);
  await replaceStops(tx, plant, stations, stops.filter((stop) => stations.includes(stop.station)));
  await insertFlags(tx, plant, flags.filter((flag) => here.has(flag.fact)));
}

function isAt(fact: Fact, stations: readonly string[], lines: readonly string[]): boolean {
  if (!isPlaceFact(fact)) return false;
  const station = 'station' in fact && fact.station !== null && stations.includes(fact.station);
  return station || ('line' in fact && fact.line !== null && lines.includes(fact.line));
}
