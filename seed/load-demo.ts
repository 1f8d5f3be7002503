import { readFileSync } from 'node:fs';
import { toWire } from '../server/contract/fact-wire.ts';
import { plantSchema } from '../server/contract/plant.ts';
import { workingTimeOf } from '../server/core/calendar/working-time.ts';
import type { Fact } from '../server/core/facts/fact.ts';
import type { Plant } from '../server/core/setup/plant.ts';
import type { Instant, Minutes } from '../server/core/units.ts';
import { createFactWriter } from './fact-writer.ts';
import { chanceFrom } from './random.ts';
import { shiftCalendarTo } from './shift-calendar.ts';
import { createSimulation } from './simulate.ts';
import { hold, stop } from './trouble.ts';

/** What the demo needs of the program: the same doors that a plant's set-up and a kiosk's scans come through. */
export interface DemoActions {
  loadPlant(document: unknown, validFrom: Instant): Promise<void>;
  recordFacts(plant: string, wireFacts: unknown[]): Promise<void>;
}

export interface RunningDemo {
  plant: string;
  facts: number;
  /** Lets the plant work on to `now`: call it now and then. Returns how many facts were stated. */
  goOn(now: Instant): Promise<number>;
}

const HISTORY_DAYS = 56;
const MS_PER_DAY = 86_400_000;
const BATCH = 500;

/** The demo plant as set up in seed/plant.json, its shifts moved so that `now` is in mid-shift. */
export function demoPlant(now: Instant): Plant {
  const document: unknown = JSON.parse(readFileSync(new URL('./plant.json', import.meta.url), 'utf8'));
  return shiftCalendarTo(plantSchema.parse(document), now);
}

/**
 * Loads the demo plant and states eight weeks of its facts up to `now` through `actions`.
 * The same `seed` and `now` give the same facts. `speed` 10 lets ten minutes of work pass in each minute from `now` on.
 */
export async function loadDemo(actions: DemoActions, now: Instant, seed = 7, speed = 1): Promise<RunningDemo> {
  const plant = demoPlant(now);
  const start = now - HISTORY_DAYS * MS_PER_DAY;
  await actions.loadPlant(plant, start - MS_PER_DAY);
  const simulation = simulateDemo(plant, start, now, seed, speed);
  let stated = 0;
  const state = async (facts: Fact[]): Promise<number> => {
    for (let i = 0; i < facts.length; i += BATCH) await actions.recordFacts(plant.code, facts.slice(i, i + BATCH).map(toWire));
    stated += facts.length;
    return facts.length;
  };
  await state(simulation.factsUntil(now));
  return { plant: plant.code, facts: stated, goOn: (instant) => state(simulation.factsUntil(instant)) };
}

/** The facts of the demo plant, asked for stretch by stretch with a rising `now`. */
export function simulateDemo(plant: Plant, start: Instant, now: Instant, seed: number, speed: number): { factsUntil(now: Instant): Fact[] } {
  const main = plant.lines.find((line) => line.purpose === 'main')!;
  const setups = [{ version: 1, validFrom: start - MS_PER_DAY, plant }];
  const time = workingTimeOf(setups, { line: main.code, station: null }, []);
  const minuteOfNow = time.workingBetween(start, now);
  const chance = chanceFrom(seed);
  const writer = createFactWriter(chance);
  // Past `now` a faster demo packs its minutes into real ones, so that no fact lies in the future.
  const toInstant = (minute: Minutes): Instant =>
    Math.round(minute <= minuteOfNow ? time.addWorking(start, minute) : time.addWorking(now, (minute - minuteOfNow) / speed));
  const minuteAt = (instant: Instant): Minutes =>
    instant <= now ? time.workingBetween(start, instant) : minuteOfNow + time.workingBetween(now, instant) * speed;
  const day = time.shiftsBetween(start + 7 * MS_PER_DAY, start + 14 * MS_PER_DAY)[0];
  const dayMinutes = day ? time.workingBetween(day.start, day.end) : 465;
  const simulation = createSimulation({ plant, chance, writer, toInstant, dayMinutes });
  planTroubleOfToday(simulation, minuteOfNow);
  return {
    factsUntil(until) {
      simulation.runUntil(minuteAt(until));
      return writer.take();
    },
  };
}

/** Something to look at when the demo opens: a stop, two holds, a serial nobody knows. */
function planTroubleOfToday(sim: ReturnType<typeof createSimulation>, now: Minutes): void {
  const holdAt = (station: string, before: Minutes, minutes: Minutes): void =>
    sim.events.at(now - before, () => {
      for (const unit of sim.places.get(station)?.occupants ?? []) hold(sim, unit, minutes, 'work');
    });
  sim.events.at(now - 22, () => stop(sim, 'SW10', 58));
  holdAt('CB10', 47, 110);
  holdAt('SL10', 16, 75);
  sim.events.at(now - 9, () => {
    sim.writer.state('park', sim.instant(), 'RB1', { unit: 'CF1O4471', place: 'RB1', slot: '2' });
  });
}
