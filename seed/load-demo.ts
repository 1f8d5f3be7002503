import { readFileSync } from 'node:fs';
import { toWire } from '../server/contract/fact-wire.ts';
import { plantSchema } from '../server/contract/plant.ts';
import { workingTimeOf } from '../server/core/calendar/working-time.ts';
import type { Fact } from '../server/core/facts/fact.ts';
import type { Plant } from '../server/core/setup/plant.ts';
import type { Instant, Minutes } from '../server/core/units.ts';
import { createFactWriter } from './fact-writer.ts';
import { createInspection } from './quality.ts';
import { type Chance, chanceFrom } from './random.ts';
import { shiftCalendarTo } from './shift-calendar.ts';
import { createSimulation } from './simulate.ts';
import { hold, stop } from './trouble.ts';

/** What the demo needs of the program: the same doors that a plant's set-up and a kiosk's scans come through. */
export interface DemoActions {
  loadPlant(document: unknown, validFrom: Instant): Promise<void>;
  /** States facts of the plant; tells which of them the log had already. */
  recordFacts(plant: string, wireFacts: unknown[]): Promise<{ repeated: boolean }[]>;
}

/** Everything that the facts of a demo are a function of. */
export interface DemoOrigin {
  plant: Plant;
  /** When it was first started. */
  now: Instant;
  seed: number;
  /** Minutes of the plant that pass in a minute after `now`. */
  speed: number;
}

export interface RunningDemo {
  plant: string;
  facts: number;
  /** Lets the plant work on to `now`: call it now and then. What cannot be recorded is kept for the next call. Returns how many facts were stated. */
  goOn(now: Instant): Promise<number>;
}

const HISTORY_DAYS = 56;
const MS_PER_DAY = 86_400_000;
const BATCH = 500;
/** What is added to the demo's seed for its inspectors, who draw apart from the floor. */
const QUALITY_SEED = 1_000;

/** The demo plant as set up in seed/plant.json, its shifts moved so that `now` is in mid-shift. */
export function demoPlant(now: Instant): Plant {
  const document: unknown = JSON.parse(readFileSync(new URL('./plant.json', import.meta.url), 'utf8'));
  return shiftCalendarTo(plantSchema.parse(document), now);
}

/** Since when the set-up of a demo first started at `now` holds. */
export const demoValidFrom = (now: Instant): Instant => now - (HISTORY_DAYS + 1) * MS_PER_DAY;

/** When a demo was first started whose set-up holds from `validFrom`. */
export const demoStarted = (validFrom: Instant): Instant => validFrom + (HISTORY_DAYS + 1) * MS_PER_DAY;

/** Loads the demo plant and states eight weeks of its facts up to `origin.now` through `actions`. */
export async function loadDemo(actions: DemoActions, origin: DemoOrigin): Promise<RunningDemo> {
  await actions.loadPlant(origin.plant, demoValidFrom(origin.now));
  return stating(actions, origin.plant.code, simulateDemo(origin), origin.now);
}

/**
 * Goes on with a demo that was loaded before, also when its loading broke off: simulates it anew, and states what the log does not have.
 * The log has the facts up to some one of them, for they are stated in the order of the simulation.
 */
export async function resumeDemo(actions: DemoActions, origin: DemoOrigin, now: Instant): Promise<RunningDemo> {
  const simulation = simulateDemo(origin);
  const facts = simulation.factsUntil(now);
  let [low, high] = [0, facts.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    // Asking states the fact: one that the log does not have yet may come early, for order makes no difference.
    const [reply] = await actions.recordFacts(origin.plant.code, [toWire(facts[middle]!)]);
    if (reply!.repeated) low = middle + 1;
    else high = middle;
  }
  return stating(actions, origin.plant.code, simulation, now, facts.slice(low));
}

async function stating(actions: DemoActions, plant: string, simulation: { factsUntil(now: Instant): Fact[] }, now: Instant, first: Fact[] = []): Promise<RunningDemo> {
  let waiting = first;
  let stated = 0;
  const goOn = async (instant: Instant): Promise<number> => {
    waiting.push(...simulation.factsUntil(instant));
    const before = stated;
    while (waiting.length > 0) {
      const batch = waiting.slice(0, BATCH);
      await actions.recordFacts(plant, batch.map(toWire));
      waiting = waiting.slice(batch.length);
      stated += batch.length;
    }
    return stated - before;
  };
  await goOn(now);
  return { plant, facts: stated, goOn };
}

/**
 * The facts of a demo plant, asked for stretch by stretch with a rising `now`: eight weeks of them before its first start. The same origin
 * gives the same facts, whatever the stretches.
 */
export function simulateDemo({ plant, now, seed, speed }: DemoOrigin, historyDays = HISTORY_DAYS): { factsUntil(now: Instant): Fact[] } {
  const start = now - historyDays * MS_PER_DAY;
  const main = plant.lines.find((line) => line.purpose === 'main')!;
  const setups = [{ version: 1, validFrom: start - MS_PER_DAY, plant }];
  const time = workingTimeOf(setups, { line: main.code, station: null }, []);
  const minuteOfNow = time.workingBetween(start, now);
  const chance = chanceFrom(seed);
  const stated = { facts: [] as Fact[] };
  const writer = createFactWriter(chance, 'kiosk', stated);
  const inspection = createInspection(seed + QUALITY_SEED, stated);
  // Past `now` a faster demo packs its minutes into real ones, so that no fact lies in the future.
  const toInstant = (minute: Minutes): Instant =>
    Math.round(minute <= minuteOfNow ? time.addWorking(start, minute) : time.addWorking(now, (minute - minuteOfNow) / speed));
  const minuteAt = (instant: Instant): Minutes =>
    instant <= now ? time.workingBetween(start, instant) : minuteOfNow + time.workingBetween(now, instant) * speed;
  const day = time.shiftsBetween(start + 7 * MS_PER_DAY, start + 14 * MS_PER_DAY)[0];
  const dayMinutes = day ? time.workingBetween(day.start, day.end) : 465;
  const next = time.shiftsBetween(start, start + 7 * MS_PER_DAY)[0];
  const firstShift = next ? time.workingBetween(start, next.start) : dayMinutes;
  const talkChance = chanceFrom(seed + 1);
  const simulation = createSimulation({ plant, chance, talkChance, writer, inspection, toInstant, dayMinutes, firstShift });
  planTroubleOfToday(simulation, minuteOfNow);
  planTalkOfToday(simulation, talkChance, main.code, minuteOfNow, toInstant);
  return {
    factsUntil(until) {
      simulation.runUntil(minuteAt(until));
      return writer.take();
    },
  };
}

/** Something to look at when the demo opens: a stop, two holds, open work in a wall that is still open, a serial nobody knows. */
function planTroubleOfToday(sim: ReturnType<typeof createSimulation>, now: Minutes): void {
  const holdAt = (station: string, before: Minutes, minutes: Minutes): void =>
    sim.events.at(now - before, () => {
      for (const unit of sim.places.get(station)?.occupants ?? []) hold(sim, unit, minutes, 'work');
    });
  sim.events.at(now - 22, () => stop(sim, 'SW10', 58));
  holdAt('CB10', 47, 110);
  holdAt('SL10', 16, 75);
  // The unit is held there for longer than it takes to look at it.
  sim.events.at(now - 40, () => {
    for (const unit of sim.places.get('CB10')?.occupants ?? []) sim.inspection.findings.find(sim, unit, 'Wire not stapled');
  });
  sim.events.at(now - 9, () => {
    sim.writer.state('park', sim.instant(), 'RB1', { unit: 'CF1O4471', place: 'RB1', slot: '2' });
  });
}

/** What the morning meeting finds on its page: an action that is due and not done, one of today, and a note of this shift. */
function planTalkOfToday(sim: ReturnType<typeof createSimulation>, chance: Chance, line: string, minuteOfNow: Minutes, toInstant: (minute: Minutes) => Instant): void {
  const open = (before: Minutes, dueAfter: Minutes, what: string, owner: string): void => sim.events.at(minuteOfNow - before, () =>
    sim.writer.state('openAction', sim.instant(), 'supervisor', { line, what, owner, due: toInstant(minuteOfNow + dueAfter) }, chance));
  open(700, -60, 'Get a second jig for the entry doors', 'Engineering');
  open(130, 240, 'Bring the missing range hoods to the line', 'Purchasing');
  sim.events.at(minuteOfNow - 75, () => sim.writer.state('note', sim.instant(), 'supervisor', { line, text: 'Forklift 3 is away for service, order pallets an hour ahead' }, chance));
}
