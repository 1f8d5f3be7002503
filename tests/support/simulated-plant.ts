import { createEventQueue, type EventQueue } from '../../seed/event-queue.ts';
import { createFactWriter, type FactWriter } from '../../seed/fact-writer.ts';
import { chanceFrom } from '../../seed/random.ts';
import { type WorkingTime, workingTimeOf } from '../../server/core/calendar/working-time.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import type { Plant, SetupVersion } from '../../server/core/setup/plant.ts';
import type { Instant } from '../../server/core/units.ts';
import { aLine, aPlant, aStation, MONDAY, setupOf } from './given.ts';

/** A plant as it really works: what a forecast has to find out from the facts. Minutes are working minutes of the one calendar. */
export interface TruePlant {
  /** Standard minutes, and by how much the mean of the work differs from it, by station of the main line. */
  standard: number[];
  factor: number[];
  /** Spread of a visit's work: the standard deviation of its logarithm. */
  spread: number;
  capacity: number[];
  pace: number;
  roll: 'asReady' | 'together';
  holdRate: number;
  holdMean: number;
  /** Mean minutes from one stop of a station to the next, and how long it lasts. */
  stopEvery: number;
  stopMean: number;
  pullRate: number;
  shortRate: number;
  /** Work takes `1 + ramp` times as long on the first day; the excess halves every five days. */
  ramp: number;
  inspection: number[];
  touchUpMean: number;
  releaseMean: number;
  days: number;
}

interface Body { unit: string; at: number; line: 'main' | 'inspection'; extra: number; finished: boolean; missing: boolean; shorts: number; offLine: boolean }
interface Spot { code: string; capacity: number; standard: number; factor: number; here: Set<Body>; queue: Body[] }
interface World {
  plan: TruePlant; events: EventQueue; writer: FactWriter; main: Spot[]; inspection: Spot[]; waiting: Body[]; rolling: boolean;
  next(): number; exponential(mean: number): number; instant(): Instant;
}

const DAY_MINUTES = 450;

export function plantOfTruth(plan: TruePlant): Plant {
  const main = aLine(plan.standard.map((_, i) => aStation(`S${i + 1}`, { capacity: plan.capacity[i]! })), { pace: plan.pace, roll: plan.roll, calendar: 'day' });
  const inspection = aLine(plan.inspection.map((_, i) => aStation(`I${i + 1}`, { kind: 'check' })), { code: 'INSP', name: 'Inspection', purpose: 'inspection', calendar: 'day' });
  const standards = Object.fromEntries([...plan.standard.map((minutes, i) => [`S${i + 1}`, minutes]), ...plan.inspection.map((minutes, i) => [`I${i + 1}`, minutes])]);
  const shift = { name: 'Day', start: '06:00', end: '14:00', breaks: [{ start: '10:00', end: '10:30' }], weekdays: ['mon', 'tue', 'wed', 'thu', 'fri'] as const };
  return aPlant(main, standards, { lines: [main, inspection], calendars: [{ code: 'day', shifts: [{ ...shift, weekdays: [...shift.weekdays] }], exceptions: [] }] });
}

/** The facts that such a plant states, in the order in which they happened, and the set-up it works by. */
export function simulatePlant(plan: TruePlant, seed: number): { setups: SetupVersion[]; time: WorkingTime; facts: Fact[] } {
  const setups = setupOf(plantOfTruth(plan));
  const time = workingTimeOf(setups, { line: 'MAIN', station: null }, []);
  const chance = chanceFrom(seed);
  const events = createEventQueue();
  const spot = (code: string, capacity: number, standard: number, factor: number): Spot => ({ code, capacity, standard, factor, here: new Set(), queue: [] });
  const world: World = {
    plan, events, writer: createFactWriter(chance), waiting: [], rolling: false, next: () => chance.next(), exponential: (mean) => chance.exponential(mean),
    instant: () => Math.round(time.addWorking(MONDAY, events.now())),
    main: plan.standard.map((minutes, i) => spot(`S${i + 1}`, plan.capacity[i]!, minutes, plan.factor[i]!)), inspection: plan.inspection.map((minutes, i) => spot(`I${i + 1}`, 1, minutes, 1)),
  };
  planUnits(world, time);
  for (const place of world.main) stopNowAndThen(world, place);
  events.runUntil(plan.days * DAY_MINUTES);
  return { setups, time, facts: world.writer.take().sort((a, b) => a.happened - b.happened) };
}

function planUnits(world: World, time: WorkingTime): void {
  const { plan, events, writer } = world;
  for (let n = 0; n * plan.pace < plan.days * DAY_MINUTES; n++) {
    const unit = `U${String(n).padStart(4, '0')}`;
    const release = n * plan.pace;
    events.at(Math.max(0, release - 4 * DAY_MINUTES), () => {
      const promise = localOf('UTC', time.addWorking(MONDAY, release + (4 + Math.floor(world.next() * 3)) * DAY_MINUTES)).date;
      const plannedRelease = Math.round(time.addWorking(MONDAY, release));
      writer.state('register', world.instant(), 'office', { unit, model: 'M', options: [], order: 'SO-1', dealer: 'Dealer 01', sequence: n, plannedRelease, wish: null, promise });
    });
    const body: Body = { unit, at: -1, line: 'main', extra: 0, finished: true, missing: false, shorts: 0, offLine: false };
    events.at(release + 0.01, () => {
      if (plan.roll === 'asReady') return move(world, body);
      world.waiting.push(body);
      rollWhenReady(world);
    });
  }
}

const spotsOf = (world: World, { line }: Body): Spot[] => (line === 'main' ? world.main : world.inspection);

/** To the next place when it is free, else into its queue; one that was told to come and found the place taken stays the first. */
function move(world: World, body: Body, called = false): void {
  const spots = spotsOf(world, body);
  const next = spots[body.at + 1];
  if (!next) return leaveLine(world, body);
  if (next.here.size >= next.capacity) return void (called ? next.queue.unshift(body) : next.queue.push(body));
  leave(world, body);
  arrive(world, body, next);
}

function leave(world: World, body: Body): void {
  const place = spotsOf(world, body)[body.at];
  if (place && body.missing) stateShort(world, body, place);
  if (!place?.here.delete(body)) return;
  const waiting = place.queue.shift();
  if (waiting) world.events.at(world.events.now() + world.exponential(1.5), () => move(world, waiting, true));
}

function stateShort(world: World, body: Body, place: Spot): void {
  body.missing = false;
  body.shorts++;
  const short = world.writer.state('leaveShort', world.instant() - 10_000, place.code, { unit: body.unit, station: place.code, items: [{ what: 'Part', owner: 'Stores', fitAt: null, expected: null }] });
  world.events.at(world.events.now() + 60 + world.exponential(200), () => {
    body.shorts--;
    world.writer.state('fitShort', world.instant(), place.code, { unit: body.unit, short, item: 0 });
  });
}

function arrive(world: World, body: Body, place: Spot, byRoll = false): void {
  const { plan, events, writer } = world;
  body.at++;
  body.finished = false;
  place.here.add(body);
  const { unit } = body;
  // The roll itself says where it is.
  if (!byRoll) writer.state(body.offLine ? 'putBack' : 'arrive', world.instant(), place.code, { unit, station: place.code });
  body.offLine = false;
  const ramp = 1 + plan.ramp * 2 ** (-events.now() / (5 * DAY_MINUTES));
  // The sum of twelve uniform numbers less six is as good as normal here.
  const normal = Array.from({ length: 12 }, () => world.next()).reduce((sum, one) => sum + one, -6);
  const work = place.standard * place.factor * ramp * Math.exp(plan.spread * normal - plan.spread ** 2 / 2);
  if (world.next() < plan.holdRate) events.at(events.now() + work * world.next(), () => hold(world, body, place));
  if (body.line === 'main' && world.next() < plan.shortRate) body.missing = true;
  events.at(events.now() + work, () => done(world, body, place));
}

function hold(world: World, body: Body, place: Spot): void {
  const minutes = 5 + world.exponential(world.plan.holdMean);
  const id = world.writer.state('openHold', world.instant(), place.code, { unit: body.unit, reason: world.next() < 0.5 ? 'Part missing' : 'Damage', keepsFrom: 'work', fromStation: null, note: '' });
  body.extra += minutes;
  world.events.at(world.events.now() + minutes, () => world.writer.state('clearHold', world.instant(), place.code, { unit: body.unit, hold: id, note: '' }));
}

function stopNowAndThen(world: World, place: Spot): void {
  world.events.at(world.events.now() + world.exponential(world.plan.stopEvery), () => {
    const minutes = 4 + world.exponential(world.plan.stopMean);
    const id = world.writer.state('openStop', world.instant(), place.code, { station: place.code, reason: 'Tool broken', note: '' });
    for (const body of place.here) if (!body.finished) body.extra += minutes;
    world.events.at(world.events.now() + minutes, () => world.writer.state('clearStop', world.instant(), place.code, { station: place.code, stop: id, note: '' }));
    stopNowAndThen(world, place);
  });
}

function done(world: World, body: Body, place: Spot): void {
  const { extra, unit } = body;
  body.extra = 0;
  if (extra > 0) return world.events.at(world.events.now() + extra, () => done(world, body, place));
  body.finished = true;
  world.writer.state('finish', world.instant(), place.code, { unit, station: place.code });
  if (world.plan.roll === 'together' && body.line === 'main') return rollWhenReady(world);
  if (body.line === 'main' && world.next() < world.plan.pullRate) {
    world.writer.state('pullOff', world.instant(), place.code, { unit, reason: 'Leak found', to: null });
    leave(world, body);
    body.offLine = true;
    return world.events.at(world.events.now() + 60 + world.exponential(180), () => move(world, body));
  }
  return world.events.at(world.events.now() + world.exponential(2), () => move(world, body));
}

/** Every unit on the main line is finished, and the next one there: all move on a little later. */
function rollWhenReady(world: World): void {
  const standing = world.main.flatMap(({ here }) => [...here]);
  if (world.rolling || world.waiting.length === 0 || standing.some(({ finished }) => !finished)) return;
  const entering = world.waiting.shift()!;
  world.rolling = true;
  world.events.at(world.events.now() + world.exponential(3), () => {
    world.rolling = false;
    world.writer.state('roll', world.instant(), world.main[0]!.code, { line: 'MAIN' });
    for (const body of standing.sort((a, b) => b.at - a.at)) {
      world.main[body.at]!.here.delete(body);
      const next = world.main[body.at + 1];
      if (next) arrive(world, body, next, true);
      else leaveLine(world, body);
    }
    arrive(world, entering, world.main[0]!);
  });
}

function leaveLine(world: World, body: Body): void {
  const { events, writer, plan } = world;
  const { unit, line } = body;
  const place = spotsOf(world, body).at(-1)!;
  if (plan.roll === 'asReady' || line === 'inspection') writer.state('leave', world.instant(), place.code, { unit, station: place.code });
  leave(world, body);
  if (line === 'main') {
    Object.assign(body, { line: 'inspection', at: -1 });
    return events.at(events.now() + 10 + world.exponential(plan.touchUpMean), () => move(world, body));
  }
  return release(world, body, 10 + world.exponential(plan.releaseMean));
}

function release(world: World, body: Body, minutes: number): void {
  world.events.at(world.events.now() + minutes, () => {
    if (body.shorts > 0) return release(world, body, 20);
    return void world.writer.state('release', world.instant(), 'office', { unit: body.unit });
  });
  world.events.at(world.events.now() + minutes + 300, () => {
    if (body.shorts === 0) world.writer.state('ship', world.instant(), 'office', { unit: body.unit, carrier: '' });
  });
}
