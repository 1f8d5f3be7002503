import { emptyUnit, evolve } from '../../server/core/facts/evolve.ts';
import type { Fact, Roll, UnitFact } from '../../server/core/facts/fact.ts';
import { compareFacts } from '../../server/core/facts/order.ts';
import { effectiveFacts } from '../../server/core/facts/voids.ts';
import type { UnitState } from '../../server/core/facts/unit-state.ts';
import { findLine, nextOnRoute, routeOf } from '../../server/core/setup/setup-at.ts';
import type { SetupVersion } from '../../server/core/setup/plant.ts';
import type { CrewWord } from '../../server/core/timeline/crew.ts';
import type { Visit } from '../../server/core/timeline/visit.ts';
import { crewOf } from './crew-now.ts';
import { WALK_FLAGS } from './walk.ts';
import type { Snapshot, StationRow, StopRow, UnitRow } from '../../server/contract/snapshot.ts';

/**
 * `snapshot` as it will be once the server has `own`: whereabouts by the same fold as the server's, minutes of a new
 * visit from its beginning. A void of a fact the server has already takes effect when the server answers.
 */
export function withOwnFacts(snapshot: Snapshot, own: readonly Fact[]): Snapshot {
  if (own.length === 0) return snapshot;
  const facts = effectiveFacts(own).toSorted(compareFacts);
  const setups: SetupVersion[] = [{ version: snapshot.setupVersion, validFrom: 0, plant: snapshot.plant }];
  const rows = new Map(snapshot.units.map((row) => [row.state.unit, row]));
  let { stops, crew, floorTime, unreleasedShips } = snapshot;
  for (const fact of facts) {
    if (fact.kind === 'overrideGate') unreleasedShips = unreleasedShips.filter(({ breach }) => breach !== fact.breach);
    // A unit that is gone is not among the rows: what is said of it waits for the server.
    if ('unit' in fact && snapshot.unreleasedShips.some(({ unit }) => unit === fact.unit)) continue;
    if ('unit' in fact) foldUnitFact(rows, fact, setups, snapshot);
    else if (fact.kind === 'roll') foldRoll(rows, fact, setups, snapshot);
    else if (fact.kind === 'openStop') stops = [...stops.filter((stop) => stop.id !== fact.id), stopOf(fact)];
    else if (fact.kind === 'clearStop') stops = stops.filter((stop) => stop.id !== fact.stop);
    else if (fact.kind === 'openUntil' || fact.kind === 'goneHome') floorTime = [...floorTime, floorTimeOf(fact)];
    else if (fact.kind === 'heads' || fact.kind === 'loan') crew = [...crew.filter(({ id }) => id !== fact.id), crewWord(fact)];
  }
  const units = [...rows.values()].filter((row) => row.state.stage !== 'shipped' && row.state.stage !== 'cancelled');
  const view = { ...snapshot, units, stops, floorTime, unreleasedShips, crew: crew.toSorted((a, b) => a.happened - b.happened) };
  const at = Math.max(snapshot.at, ...facts.map(({ happened }) => happened));
  return { ...view, stations: snapshot.stations.map((station) => ({ ...stationWith(station, units, snapshot), crew: crewOf(view, station.station, at) ?? station.crew })) };
}

function foldUnitFact(rows: Map<string, UnitRow>, fact: UnitFact, setups: SetupVersion[], snapshot: Snapshot): void {
  const row = rows.get(fact.unit);
  const before = row?.state ?? emptyUnit(fact.unit);
  const { state, flags } = evolve(before, fact, setups);
  const next = rowOf(row, state, snapshot);
  // What differs on a walk is listed at once. Other flags wait for the server, which knows what else was said.
  const raised = flags.filter(({ code }) => WALK_FLAGS.includes(code)).map(({ fact: id, code, detail }) => ({ fact: id, code, detail, happened: fact.happened }));
  rows.set(fact.unit, raised.length > 0 ? { ...next, flags: [...next.flags, ...raised] } : next);
}

function foldRoll(rows: Map<string, UnitRow>, fact: Roll, setups: SetupVersion[], snapshot: Snapshot): void {
  for (const row of [...rows.values()]) {
    if (row.state.place?.line !== fact.line) continue;
    rows.set(row.state.unit, rowOf(row, evolve(row.state, fact, setups).state, snapshot));
  }
}

function rowOf(row: UnitRow | undefined, state: UnitState, snapshot: Snapshot): UnitRow {
  const line = state.place?.line ? findLine(snapshot.plant, state.place.line) : null;
  const route = line ? routeOf(snapshot.plant, line, state.model, state.options) : [];
  const base: UnitRow = row ?? {
    state, visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: null, late: null, manufactured: null, coveredAt: {}, flags: [],
  };
  return { ...base, state, visit: visitOf(base.visit, state, route), next: line ? nextOnRoute(route, state.place?.station ?? null) : base.next };
}

function visitOf(visit: Visit | null, state: UnitState, route: { station: string; standard: number }[]): Visit | null {
  const place = state.place;
  if (!place?.line) return null;
  const held = state.holds.some((hold) => hold.keepsFrom === 'work');
  const now = place.finished === null ? (held ? 'held' : 'work') : 'blocked';
  if (visit && visit.station === place.station && visit.arrived === place.since) {
    if (visit.finished === place.finished && (visit.state === 'held') === held) return visit;
    return { ...visit, finished: place.finished, state: now };
  }
  return {
    unit: state.unit, line: place.line, station: place.station, notScanned: false, arrived: place.since,
    finished: place.finished, finishAssumed: false, left: null, leftHow: null, provisional: true,
    standard: route.find((step) => step.station === place.station)?.standard ?? 0,
    minutes: { held: 0, blocked: 0, rollLag: 0, stopped: 0, work: 0 },
    dwell: 0, elapsed: 0, stationDelay: 0, recovered: 0, state: now, causes: [],
  };
}

function stationWith(station: StationRow, units: readonly UnitRow[], snapshot: Snapshot): StationRow {
  const here = units.filter((row) => row.state.place?.station === station.station).map((row) => row.state.unit);
  const same = here.length === station.units.length && here.every((unit) => station.units.includes(unit));
  if (same) return station;
  const capacity = snapshot.plant.lines.flatMap((line) => line.stations).find((candidate) => candidate.code === station.station)?.capacity;
  const free = capacity === null || capacity === undefined ? station.free : Math.max(0, capacity - here.length);
  return { ...station, units: here, free, freeState: free > 0 ? station.freeState : null };
}

function crewWord(fact: Extract<Fact, { kind: 'heads' | 'loan' }>): CrewWord {
  const { id, kind, station, heads, happened } = fact;
  return { id, kind, station, heads, happened, from: fact.kind === 'loan' ? fact.from : null, until: fact.kind === 'loan' ? fact.until : null };
}

function floorTimeOf(fact: Extract<Fact, { kind: 'openUntil' | 'goneHome' }>): Snapshot['floorTime'][number] {
  const { kind, line, station, happened } = fact;
  return { kind, line, station, happened, until: fact.kind === 'openUntil' ? fact.until : null };
}

function stopOf(fact: Extract<Fact, { kind: 'openStop' }>): StopRow {
  return { id: fact.id, station: fact.station, reason: fact.reason, note: fact.note, opened: fact.happened, who: fact.who };
}
