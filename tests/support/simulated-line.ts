import type { KeepsFrom } from '../../server/core/facts/fact.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import type { LineHistory, Stay, UnitHistory } from '../../server/core/timeline/line-history.ts';
import { aLine, aPlant, aStation, minute, setupOf } from './given.ts';

/** A line simulated minute by minute, written apart from the core, for the checks of line delay. Everything is in whole minutes. */
export interface SimLine {
  standard: number[];
  capacity: number[];
  /** By station; true where left out. */
  mayPass?: boolean[];
  pace: number;
  units: SimLineUnit[];
  stops: { id: string; station: number; from: number; to: number }[];
  holds: { id: string; unit: number; from: number; to: number; keeps: KeepsFrom }[];
  /** The unit leaves its place at `at`, wherever it stands, and comes to its next station as soon as there is a place from `back` on. */
  pulls: { unit: number; at: number; back: number }[];
  together?: boolean;
  /** By roll, minutes after all were ready. */
  rollLags?: number[];
  /** Minutes after which nothing happens any more. */
  until: number;
}

export interface SimLineUnit {
  planned: number | null;
  /** It is there to be released from here on. */
  there: number;
  work: number[];
  /** Minutes it waits at each station although it could go on. */
  lag: number[];
  /** Whether its finish is scanned at each station. */
  scanned?: boolean[];
}

interface Body {
  at: number;
  station: number;
  here: boolean;
  worked: number;
  finished: number | null;
  couldGo: number | null;
  stays: Stay[];
  offLine: { from: number; to: number | null }[];
  out: boolean;
}

const code = (station: number): string => `S${station + 1}`;
export const unitCode = (unit: number): string => `U${String(unit + 1).padStart(3, '0')}`;

export function plantOf(sim: Pick<SimLine, 'standard' | 'capacity' | 'mayPass' | 'pace' | 'together'>): Plant {
  const stations = sim.capacity.map((capacity, i) => aStation(code(i), { capacity, unitsMayPass: sim.mayPass?.[i] ?? true }));
  const line = aLine(stations, { pace: sim.pace, roll: sim.together ? 'together' : 'asReady' });
  return aPlant(line, Object.fromEntries(sim.standard.map((standard, i) => [code(i), standard])));
}

/** The history of the line, every stay as it came about. */
export function simulateLine(sim: SimLine): LineHistory {
  const bodies = sim.units.map((): Body => ({ at: 0, station: -1, here: false, worked: 0, finished: null, couldGo: null, stays: [], offLine: [], out: false }));
  const run: Run = { sim, bodies, now: 0, rolled: 0, allReady: null };
  for (run.now = 0; run.now <= sim.until; run.now++) {
    pull(run);
    if (sim.together) rollWhenReady(run);
    else while (moveOne(run));
    bodies.forEach((body, unit) => workOn(run, body, unit));
  }
  return { line: 'MAIN', setups: setupOf(plantOf(sim)), units: bodies.map((body, unit) => historyOf(sim, body, unit)), stops: sim.stops.map(stopOf), floorTime: [] };
}

interface Run { sim: SimLine; bodies: Body[]; now: number; rolled: number; allReady: number | null }

const last = (sim: SimLine): number => sim.standard.length - 1;
const openAt = (t: number) => ({ from, to }: { from: number; to: number }): boolean => from <= t && t < to;

function standing(run: Run, station: number): number {
  return run.bodies.filter((body) => body.here && body.station === station).length;
}

/** A hold that opens in the minute of a move comes after it. */
function kept({ sim, now }: Run, unit: number): boolean {
  return sim.holds.some((hold) => hold.unit === unit && hold.from < now && now < hold.to && (hold.keeps === 'work' || hold.keeps === 'leaving'));
}

function pull(run: Run): void {
  for (const { unit, at } of run.sim.pulls) {
    const body = run.bodies[unit]!;
    if (at !== run.now || !body.here || body.station >= last(run.sim)) continue;
    leave(run, body, 'pulledOff');
    body.offLine.push({ from: minute(run.now), to: null });
  }
}

function leave(run: Run, body: Body, how: Stay['leftHow']): void {
  const stay = body.stays.at(-1)!;
  stay.left = minute(run.now);
  stay.leftHow = how;
  body.here = false;
  body.couldGo = null;
}

function arrive(run: Run, unit: number, station: number): void {
  const body = run.bodies[unit]!;
  const id = `a${String(run.now).padStart(5, '0')}-${String(body.stays.length).padStart(3, '0')}-${unitCode(unit)}`;
  Object.assign(body, { station, here: true, worked: 0, finished: null, couldGo: null });
  body.stays.push({ unit: unitCode(unit), line: 'MAIN', station: code(station), arrived: minute(run.now), arrivedBy: id, finished: null, left: null, leftHow: null });
  if (run.sim.units[unit]!.work[station] === 0) finish(run, body, unit);
}

function finish(run: Run, body: Body, unit: number): void {
  body.finished = run.now;
  if (run.sim.units[unit]!.scanned?.[body.station] ?? true) body.stays.at(-1)!.finished = minute(run.now);
}

/** Moves the first unit that can, those farthest along first; false when none can. */
function moveOne(run: Run): boolean {
  const { sim, bodies, now } = run;
  const order = bodies.map((_, unit) => unit).filter((unit) => !bodies[unit]!.out);
  order.sort((a, b) => bodies[b]!.station - bodies[a]!.station || cameAt(bodies[a]!) - cameAt(bodies[b]!) || a - b);
  let released = false;
  for (const unit of order) {
    const body = bodies[unit]!;
    if (body.station < 0) {
      if (released) continue;
      released = true;
      if (now < sim.units[unit]!.there || standing(run, 0) >= sim.capacity[0]!) continue;
      arrive(run, unit, 0);
      return true;
    }
    if (!body.here) {
      const pulled = sim.pulls.filter((one) => one.unit === unit && one.at <= now).at(-1)!;
      if (now < pulled.back || standing(run, body.station + 1) >= sim.capacity[body.station + 1]!) continue;
      body.offLine.at(-1)!.to = minute(now);
      arrive(run, unit, body.station + 1);
      return true;
    }
    if (goesOn(run, body, unit)) return true;
  }
  return false;
}

const cameAt = (body: Body): number => body.stays.at(-1)?.arrived ?? Infinity;

function goesOn(run: Run, body: Body, unit: number): boolean {
  const { sim, now } = run;
  const passing = sim.mayPass?.[body.station] === false
    && run.bodies.some((other, i) => other.here && other.station === body.station && (cameAt(other) < cameAt(body) || (cameAt(other) === cameAt(body) && i < unit)));
  const free = body.station === last(sim) || standing(run, body.station + 1) < sim.capacity[body.station + 1]!;
  if (body.finished === null || kept(run, unit) || passing || !free) {
    body.couldGo = null;
    return false;
  }
  body.couldGo ??= now;
  if (now < body.couldGo + sim.units[unit]!.lag[body.station]!) return false;
  const { station } = body;
  leave(run, body, station === last(sim) ? 'scanned' : 'implied');
  if (station === last(sim)) body.out = true;
  else arrive(run, unit, station + 1);
  return true;
}

/** All ready: every unit on the line finished and free of holds that keep it, and the next one there. */
function rollWhenReady(run: Run): void {
  const { sim, bodies, now } = run;
  for (const [unit, body] of bodies.entries()) {
    if (body.here || body.station < 0 || body.out) continue;
    const pulled = sim.pulls.filter((one) => one.unit === unit && one.at <= now).at(-1)!;
    if (now < pulled.back || standing(run, body.station + 1) > 0) continue;
    body.offLine.at(-1)!.to = minute(now);
    arrive(run, unit, body.station + 1);
  }
  const entering = bodies.findIndex((body) => body.station < 0);
  const onLine = [...bodies.entries()].filter(([, body]) => body.here);
  const there = entering < 0 || now >= sim.units[entering]!.there;
  if ((onLine.length === 0 && entering < 0) || !there || onLine.some(([unit, body]) => body.finished === null || kept(run, unit))) {
    run.allReady = null;
    return;
  }
  run.allReady ??= now;
  if (now < run.allReady + (sim.rollLags?.[run.rolled] ?? 0)) return;
  run.rolled++;
  run.allReady = null;
  for (const [unit, body] of onLine.sort(([, a], [, b]) => b.station - a.station)) {
    const { station } = body;
    leave(run, body, 'rolled');
    if (station === last(sim)) body.out = true;
    else arrive(run, unit, station + 1);
  }
  if (entering >= 0) arrive(run, entering, 0);
}

function workOn(run: Run, body: Body, unit: number): void {
  if (!body.here || body.finished !== null) return;
  const { sim, now } = run;
  if (sim.holds.some((hold) => hold.unit === unit && hold.keeps === 'work' && openAt(now)(hold))) return;
  if (sim.stops.some((stop) => stop.station === body.station && openAt(now)(stop))) return;
  body.worked++;
  if (body.worked < sim.units[unit]!.work[body.station]!) return;
  run.now++;
  finish(run, body, unit);
  run.now--;
}

function stopOf({ id, station, from, to }: SimLine['stops'][number]): LineHistory['stops'][number] {
  return { id, station: code(station), reason: 'Tool broken', opened: minute(from), cleared: minute(to) };
}

function historyOf(sim: SimLine, body: Body, unit: number): UnitHistory {
  const { planned } = sim.units[unit]!;
  const holds = sim.holds.filter((hold) => hold.unit === unit).map(({ id, from, to, keeps }) =>
    ({ id, unit: unitCode(unit), reason: 'Part missing', keepsFrom: keeps, fromStation: null, opened: minute(from), cleared: minute(to) }));
  return {
    unit: unitCode(unit), model: 'M', options: [], sequence: unit, plannedRelease: planned === null ? null : minute(planned),
    stays: body.stays, holds, offLine: body.offLine, gone: null,
  };
}
