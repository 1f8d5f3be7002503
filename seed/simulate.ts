import { routeOf } from '../server/core/setup/setup-at.ts';
import type { Line, Plant, Station } from '../server/core/setup/plant.ts';
import type { Instant, Minutes } from '../server/core/units.ts';
import { createEventQueue } from './event-queue.ts';
import type { FactWriter } from './fact-writer.ts';
import type { Chance } from './random.ts';
import { inspect, type Inspection } from './quality.ts';
import { inventedVin } from './trailer-vin.ts';
import { plannedUnit } from './unit-plan.ts';
import { afterTheLine } from './after-the-line.ts';
import { startTalk } from './shift-talk.ts';
import { startTrucks, type TruckLoads } from './truck-loads.ts';
import { drawTrouble, leaveShort, startStops } from './trouble.ts';

/** A unit on its way through the simulated plant. */
export interface SimUnit {
  unit: string;
  model: string;
  options: string[];
  n: number;
  line: Line;
  station: string | null;
  /** Minutes by which trouble puts off the end of its work. */
  extra: Minutes;
  offLine: boolean;
  /** Something is missing here and will be fitted later. */
  missing: boolean;
  openShorts: number;
  openHolds: number;
  released: boolean;
}

export interface SimPlace {
  station: Station;
  occupants: Set<SimUnit>;
  queue: SimUnit[];
}

/** What the parts of the simulator share. Minutes are working minutes of the main line since the demo's first release. */
export interface Sim {
  plant: Plant;
  chance: Chance;
  writer: FactWriter;
  inspection: Inspection;
  events: ReturnType<typeof createEventQueue>;
  places: Map<string, SimPlace>;
  trucks: TruckLoads;
  /** The instant of the minute now, `msBefore` earlier. */
  instant(msBefore?: number): Instant;
  /** The unit would go on to its next station, or off the line's end. */
  goOn(unit: SimUnit): void;
}

export interface SimOptions {
  plant: Plant;
  inspection: Inspection;
  chance: Chance;
  /** For what is said and changes nothing of what is done. */
  talkChance: Chance;
  writer: FactWriter;
  toInstant: (minute: Minutes) => Instant;
  /** Working minutes of a day, for what happens once a day. */
  dayMinutes: Minutes;
  /** The minute at which the first shift after the demo's first release begins; each further one `dayMinutes` later. */
  firstShift: Minutes;
}

/** What happens as each shift begins: once at the demo's first release, which is in mid-shift, then shift by shift. */
export function eachShift(sim: Sim, { dayMinutes, firstShift }: SimOptions, run: () => void, after: Minutes): void {
  const begin = (shift: number): void => {
    run();
    sim.events.at(firstShift + shift * dayMinutes + after, () => begin(shift + 1));
  };
  sim.events.at(after, () => begin(0));
}

const PLANNED_AHEAD_DAYS = 6;

/** A plant that rolls, holds, stops and forgets: `runUntil(minute)` lets it work and states its facts to the writer. */
export function createSimulation(options: SimOptions): Sim & { runUntil(minute: Minutes): void } {
  const { plant, chance, writer, inspection, toInstant } = options;
  const events = createEventQueue();
  const places = new Map<string, SimPlace>();
  for (const station of plant.lines.flatMap((line) => line.stations)) places.set(station.code, { station, occupants: new Set(), queue: [] });
  const sim: Sim = {
    plant, chance, writer, inspection, events, places, trucks: { join: (unit) => trucks.join(unit) },
    instant: (msBefore = 0) => toInstant(events.now()) - msBefore,
    goOn: (unit) => goOn(sim, unit),
  };
  const trucks = startTrucks(sim, options);
  const main = plant.lines.find((line) => line.purpose === 'main')!;
  planUnits(sim, main, options);
  startStops(sim);
  startShifts(sim, options);
  return { ...sim, runUntil: (minute) => events.runUntil(minute) };
}

function planUnits(sim: Sim, main: Line, { toInstant, dayMinutes }: SimOptions): void {
  const plan = (n: number): void => {
    const release = n * main.pace;
    const planned = plannedUnit(sim.plant, n, toInstant(release), sim.chance);
    sim.writer.state('register', sim.instant(), 'office', planned);
    const unit: SimUnit = { ...planned, n, line: main, station: null, extra: 0, offLine: false, missing: false, openShorts: 0, openHolds: 0, released: false };
    sim.events.at(release + sim.chance.exponential(3), () => sim.goOn(unit));
    sim.events.at(release + main.pace - PLANNED_AHEAD_DAYS * dayMinutes, () => plan(n + 1));
  };
  sim.events.at(0, () => plan(0));
}

function startShifts(sim: Sim, options: SimOptions): void {
  const talk = startTalk(sim, options);
  eachShift(sim, options, () => {
    for (const { station } of sim.places.values()) {
      if (station.plannedHeads === 0) continue;
      const missing = options.talkChance.next() < 0.08 ? 1 : 0;
      sim.writer.state('heads', sim.instant(), station.code, { station: station.code, heads: Math.max(1, station.plannedHeads - missing) }, options.talkChance);
      if (missing > 0 && station.plannedHeads > 1) talk.headMissing(station.code);
    }
  }, 0.5);
}

function goOn(sim: Sim, unit: SimUnit): void {
  const route = routeOf(sim.plant, unit.line, unit.model, unit.options);
  const index = unit.station === null ? -1 : route.findIndex((step) => step.station === unit.station);
  const next = route[index + 1];
  if (!next) return afterTheLine(sim, unit);
  const place = sim.places.get(next.station)!;
  if (place.occupants.size >= (place.station.capacity ?? 2)) {
    place.queue.push(unit);
    return;
  }
  leaveShort(sim, unit);
  leavePlace(sim, unit);
  arrive(sim, unit, place, next.standard);
}

/** Frees the unit's place and lets the first that waits for it come, a short roll lag later. */
export function leavePlace(sim: Sim, unit: SimUnit): void {
  const place = unit.station === null ? null : sim.places.get(unit.station);
  if (!place?.occupants.delete(unit)) return;
  const waiting = place.queue.shift();
  if (waiting) sim.events.at(sim.events.now() + 0.3 + sim.chance.exponential(1.6), () => sim.goOn(waiting));
}

function arrive(sim: Sim, unit: SimUnit, place: SimPlace, standard: Minutes): void {
  const { code, kind } = place.station;
  const first = unit.station === null;
  unit.station = code;
  place.occupants.add(unit);
  if (unit.offLine) {
    unit.offLine = false;
    sim.writer.state('putBack', sim.instant(), code, { unit: unit.unit, station: code });
  } else if (sim.chance.next() > 0.006) {
    sim.writer.state('arrive', sim.instant(), code, { unit: unit.unit, station: code });
  }
  if (first && unit.line.purpose === 'main') bindVin(sim, unit);
  const work = kind === 'staging' ? 1 : standard * 0.94 * sim.chance.aroundOne(0.11);
  drawTrouble(sim, unit, work);
  sim.events.at(sim.events.now() + work, () => workDone(sim, unit));
}

function bindVin(sim: Sim, unit: SimUnit): void {
  if (sim.plant.vin) sim.writer.state('bindVin', sim.instant(-60_000), unit.station!, { unit: unit.unit, vin: inventedVin(sim.plant.vin, unit.model, unit.n) });
}

function workDone(sim: Sim, unit: SimUnit): void {
  if (unit.extra > 0) {
    const more = unit.extra;
    unit.extra = 0;
    sim.events.at(sim.events.now() + more, () => workDone(sim, unit));
    return;
  }
  const station = unit.station!;
  sim.inspection.findings.atStation(sim, unit);
  inspect(sim, unit);
  if (!unit.missing && sim.chance.next() < 0.95) sim.writer.state('finish', sim.instant(), station, { unit: unit.unit, station });
  if (unit.line.purpose === 'main' && sim.chance.next() < 0.003 && !unit.missing) return pullOff(sim, unit);
  sim.events.at(sim.events.now() + 0.4 + sim.chance.exponential(1.8), () => sim.goOn(unit));
}

function pullOff(sim: Sim, unit: SimUnit): void {
  const to = unit.line.stations.findIndex((station) => station.code === unit.station) < 14 ? 'RB1' : 'RB2';
  const reason = sim.chance.pick(['Frame out of square', 'Sidewall delaminated', 'Slide-out box does not fit', 'Leak found, floor to open']);
  sim.writer.state('pullOff', sim.instant(), unit.station!, { unit: unit.unit, reason, to });
  leavePlace(sim, unit);
  unit.offLine = true;
  sim.events.at(sim.events.now() + 90 + sim.chance.exponential(240), () => sim.goOn(unit));
}
