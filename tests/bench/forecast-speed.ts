import { spawnSync } from 'node:child_process';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { setImmediate } from 'node:timers/promises';
import { join } from 'node:path';
import { demoPlant, demoValidFrom, simulateDemo } from '../../seed/load-demo.ts';
import { materialNow } from '../../server/actions/forecast-material.ts';
import { forecastReply } from '../../server/actions/forecast-reply.ts';
import { lineHistoryBetween } from '../../server/actions/line-history.ts';
import { PlantMemory } from '../../server/actions/plant-memory.ts';
import { createWorkers } from '../../server/actions/workers.ts';
import { quantile } from '../../server/core/rates/quantiles.ts';
import { derivationAt, endedVisits } from '../../server/core/timeline/derive-visits.ts';
import { compileLine } from '../../server/core/forecast/compile-line.ts';
import { drawTable, TABLE_BITS } from '../../server/core/forecast/draw-table.ts';
import type { ForecastInput } from '../../server/core/forecast/forecast-input.ts';
import { workingTimeOf } from '../../server/core/calendar/working-time.ts';
import { calendarTable } from '../../server/core/forecast/calendar-table.ts';
import { type ForecastRuns, run } from '../../server/core/forecast/run.ts';
import { calendarWc1 } from '../support/calendar-wc1.ts';
import { forecastInput, forecastStage, forecastStation, forecastUnit, mean, runsOf, working } from '../support/given-forecast.ts';
import type { BenchResult } from './run.ts';

const [UNITS, STATIONS, RUNS] = [60, 30, 10_000];
const ROUNDS = 9;
const SOURCE = new URL('forecast-speed.c', import.meta.url).pathname;

/**
 * A forecast of 60 units through 30 stations, 10,000 runs, beside the same recursion in scalar C (gcc -O3, the order of loops that is faster of two), one core
 * each, in turns, the best of nine times two. Both draw the same amount by the same generator from the same tables. Neither counts reading its input; ours lays out
 * its memory, seeds a stream for each unit and station and hands back a new array, all within its time.
 */
export async function forecastSpeedBench(): Promise<BenchResult> {
  const folder = await mkdtemp(join(tmpdir(), 'forecast-speed-'));
  try {
    const program = join(folder, 'forecast-speed');
    const built = spawnSync('gcc', ['-O3', '-o', program, SOURCE], { encoding: 'utf8' });
    if (built.status !== 0) throw new Error(`gcc could not build ${SOURCE}: ${built.error?.message ?? built.stderr}`);
    const input = sixtyUnits();
    const ours: number[] = [];
    const theirs: { byRun: number; byBlock: number; exit: number }[] = [];
    let found: ForecastRuns | null = null;
    for (let round = 0; round < ROUNDS; round++) {
      theirs.push(inC(program, input));
      const compiled = compileLine(input);
      for (let again = 0; again < 2; again++) {
        ours.push(timed(() => {
          found = run(compiled, round, RUNS);
        }));
      }
    }
    const whole = compileLine(withEverything(input));
    const wholes = Array.from({ length: 4 }, () => timed(() => run(whole, 1, RUNS)));
    const held = await eventLoopHeldUp();
    const best = Math.min(...ours);
    const [byRun, byBlock] = [Math.min(...theirs.map((one) => one.byRun)), Math.min(...theirs.map((one) => one.byBlock))];
    const exit = mean(runsOf(found!, `U${UNITS}`));
    const apart = Math.abs(exit - theirs[0]!.exit) / exit;
    if (apart > 0.005) throw new Error(`The two disagree: the last unit leaves after ${exit} minutes here, ${theirs[0]!.exit} in C`);
    const ratio = best / Math.min(byRun, byBlock);
    return {
      name: 'forecast-speed',
      figures: { milliseconds: ms(best), wholeForecastMilliseconds: ms(Math.min(...wholes)), cRunByRunMilliseconds: ms(byRun), cBlockInnermostMilliseconds: ms(byBlock), units: UNITS, stations: STATIONS, runs: RUNS, ...held },
      comparedWith: 'the same recursion and generator in scalar C, gcc -O3, the faster of two orders of loops, one core each; ratio = our time / its time',
      ratio: Math.round(ratio * 100) / 100,
      holds: ratio <= 1 && held.eventLoopHeldUpMilliseconds <= MOST_HELD_UP_MS,
    };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** The longest that the program's one thread may be held up while a forecast is made beside it. */
const MOST_HELD_UP_MS = 20;
const FORECASTS = 8;

/**
 * The whole forecast of the demo plant as the program makes it, eight times: what is known gathered and posted, told in another thread, the answer read and kept as text.
 * Told is the longest time in which the event loop did not come round, of all eight and in the middle of them, and the same of a loop that has nothing to do, for what
 * else the machine does comes in too. Not in it: reading new facts and telling the minutes of visits, which are done without a forecast as well.
 */
async function eventLoopHeldUp(): Promise<{ eventLoopHeldUpMilliseconds: number; eventLoopHeldUpMiddleMilliseconds: number; eventLoopIdleMilliseconds: number; demoForecastMilliseconds: number }> {
  const now = Date.parse('2026-11-25T16:00:00Z');
  const plant = demoPlant(now);
  const memory = new PlantMemory(plant.code);
  memory.setUp([{ version: 1, validFrom: demoValidFrom(now), plant }], 1);
  const facts = simulateDemo({ plant, now, seed: 7, speed: 1 }).factsUntil(now);
  memory.add(facts.map((fact, i) => ({ ...fact, recorded: fact.happened, seq: i + 1 })), facts.length);
  const since = now - 20 * 86_400_000;
  const visits = JSON.stringify(['MAIN', 'PDI'].flatMap((line) => endedVisits(derivationAt(lineHistoryBetween(memory, line, since, now), Number.POSITIVE_INFINITY), since, now).map(({ visit }) => visit)));
  const workers = createWorkers();
  const made = async (seed: number): Promise<void> => {
    const material = materialNow(memory, 'MAIN', now);
    // The program asks the database here, and again before it answers.
    await setImmediate();
    const forecast = (await workers.run('lineForecastOf', { posted: { material, visits }, wish: { seed, wanted: 0.8 } }))!;
    JSON.stringify(forecast);
    await setImmediate();
    JSON.stringify(forecastReply(memory, [{ forecast, version: memory.version, factsAt: memory.factsAt }], now));
  };
  await made(0);
  const longest: number[] = [];
  const took: number[] = [];
  for (let seed = 1; seed <= FORECASTS; seed++) {
    const start = performance.now();
    longest.push(await heldUp(() => made(seed)));
    took.push(performance.now() - start);
  }
  const idle = await heldUp(() => new Promise((resolve) => void setTimeout(resolve, 2_000)));
  await workers.close();
  const tenth = (value: number): number => Math.round(value * 10) / 10;
  return { eventLoopHeldUpMilliseconds: tenth(Math.max(...longest)), eventLoopHeldUpMiddleMilliseconds: tenth(quantile(longest, 0.5)), eventLoopIdleMilliseconds: tenth(idle), demoForecastMilliseconds: tenth(quantile(took, 0.5)) };
}

/** The longest delay of the event loop while `work` is done, in milliseconds. */
async function heldUp(work: () => Promise<void>): Promise<number> {
  const delays = monitorEventLoopDelay({ resolution: 1 });
  delays.enable();
  await work();
  // The last stretch is told when the loop comes round after it.
  await new Promise((resolve) => void setTimeout(resolve, 5));
  delays.disable();
  return delays.max / 1e6;
}

function timed(work: () => void): number {
  const start = performance.now();
  work();
  return (performance.now() - start) / 1000;
}

const ms = (seconds: number): number => Math.round(seconds * 10_000) / 10;

/** Thirty stations of 25 to 35 minutes, each with forty ratios of its own around 1. */
function sixtyUnits(): ForecastInput {
  const ratios = (s: number): number[] => Array.from({ length: 40 }, (_, i) => Math.exp(0.25 * Math.sin(1.7 * i + s) + 0.02 * (i % 7)));
  const stations = Array.from({ length: STATIONS }, (_, s) => forecastStation(`S${s + 1}`, { draws: working(drawTable(ratios(s))) }));
  const standards = (u: number): Record<string, number> => Object.fromEntries(stations.map(({ code }, s) => [code, 25 + ((7 * u + 3 * s) % 11)]));
  return forecastInput(stations, Array.from({ length: UNITS }, (_, u) => forecastUnit(`U${u + 1}`, standards(u))));
}

/** The same line as a plant has it: on the calendar WC-1, with holds, stops and short items, and four stages after its end. No part of the ratio. */
function withEverything(input: ForecastInput): ForecastInput {
  const at = Date.parse('2026-06-01T10:00Z');
  const calendar = calendarTable(workingTimeOf([{ version: 1, validFrom: 0, plant: calendarWc1 }], { line: 'L', station: null }, []), at);
  const minutes = drawTable([5, 12, 30, 45, 90]);
  const stations = input.stations.map((station) => ({ ...station, draws: { ...station.draws, holds: { rate: 0.03, minutes }, stops: { rate: 0.05, minutes }, shorts: { rate: 0.02, minutes } } }));
  const stage = (code: string, capacity: number | null, probability: number) => forecastStage(code, { calendar, capacity, probability, minutes, mends: code === 'TOUCH-UP' });
  return { ...input, at, calendar, stations, stages: [stage('TOUCH-UP', 4, 0.35), stage('RE-TEST', 2, 0.2), stage('INSPECTION', 2, 1), stage('RELEASE', null, 1)] };
}

function inC(program: string, { stations, units }: ForecastInput): { byRun: number; byBlock: number; exit: number } {
  const numbers = [...stations.flatMap(({ draws }) => [...draws.ratios]), ...units.flatMap(({ route }) => route.map(({ standard }) => standard))];
  const args = [UNITS, STATIONS, RUNS, 2, 2 ** TABLE_BITS].map(String);
  const done = spawnSync(program, args, { input: Buffer.from(Float64Array.from(numbers).buffer), encoding: 'utf8' });
  if (done.status !== 0) throw new Error(`the program in C ended with ${done.status}: ${done.stderr}`);
  const [byRun, byBlock, exit] = done.stdout.split(' ').map(Number);
  return { byRun: byRun!, byBlock: byBlock!, exit: exit! };
}
