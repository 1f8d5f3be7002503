import type { ForecastReply, ForecastTold } from '../contract/forecast.ts';
import { hashText } from '../core/forecast/random.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import type { KeptForecast } from '../store/forecasts/kept-forecast.ts';
import { latestForecast } from '../store/forecasts/latest-forecast.ts';
import { saveForecast } from '../store/forecasts/save-forecast.ts';
import { postedMaterial } from './forecast-material.ts';
import { forecastReply, probabilitiesOf } from './forecast-reply.ts';
import type { PlantMemories } from './plant-memories.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Workers } from './workers.ts';

export interface Forecasts {
  /** The plant's forecast as made last; made now where there is none, or where it is old. */
  latest(plant: string): Promise<ForecastReply>;
  /** Something of the plant was recorded: its forecast is made anew a moment later, many commits at once. */
  schedule(plant: string): void;
  /** Calls `listener` whenever a forecast was made. */
  onMade(listener: (plant: string, told: ForecastTold) => void): void;
  /** None is begun after it. */
  stop(): void;
  /** Resolves when none is being made any more: soon after the threads were ended. */
  ended(): Promise<void>;
}

export interface ForecastParts {
  db: Db;
  memories: PlantMemories;
  workers: Workers;
  /** Tells the minutes of the plant's visits as far as its log goes. */
  minutesTold(plant: string): Promise<void>;
  now(): Instant;
  log(message: string): void;
}

/** Commits of so long are taken together at least, and from one forecast to the next it takes so long. */
const WINDOW_MS = 1_500;
const EVERY_MS = 20_000;
/** After a long one it takes so many times as long until the next: a plant with very many units leaves the machine to its scans. */
const REST = 4;
/** A forecast grows old without facts too: work that was to be done by now was not. */
const OLD_MS = 5 * 60_000;

/** The seed of the plant's forecast: the same facts give the same draws. */
export function seedOf(plant: string, version: number): number {
  return hashText(`${plant} ${version}`) | 0;
}

/** Forecasts of the plants, made in another thread, kept in memory and in the database. */
export function createForecasts({ db, memories, workers, minutesTold, now, log }: ForecastParts): Forecasts {
  const kept = new Map<string, KeptForecast[]>();
  const making = new Map<string, Promise<KeptForecast[]>>();
  const timers = new Map<string, NodeJS.Timeout>();
  const madeAt = new Map<string, number>();
  const took = new Map<string, number>();
  const listeners = new Set<(plant: string, told: ForecastTold) => void>();
  let stopped = false;

  const makeNow = async (plant: string): Promise<KeptForecast[]> => {
    await minutesTold(plant);
    const memory = await memories.upToDate(plant);
    const made: KeptForecast[] = [];
    for (const line of mainLines(memory, now())) {
      const forecast = await freshOrMade({ db, workers }, memory, line, now());
      if (forecast) made.push(forecast);
    }
    kept.set(plant, made);
    madeAt.set(plant, performance.now());
    for (const { forecast, version } of made) for (const listener of listeners) listener(plant, { version, made: forecast.at });
    return made;
  };
  const make = (plant: string): Promise<KeptForecast[]> => {
    const before = making.get(plant);
    if (before) return before;
    const began = performance.now();
    const own = makeNow(plant).finally(() => {
      took.set(plant, performance.now() - began);
      making.delete(plant);
    });
    making.set(plant, own);
    return own;
  };
  const schedule = (plant: string, least = WINDOW_MS): void => {
    if (stopped || timers.has(plant)) return;
    const wait = Math.max(least, (madeAt.get(plant) ?? Number.NEGATIVE_INFINITY) + Math.max(EVERY_MS, (took.get(plant) ?? 0) * REST) - performance.now());
    timers.set(plant, setTimeout(() => {
      timers.delete(plant);
      make(plant).catch((error: unknown) => {
        if (stopped) return;
        log(`the forecast of ${plant} could not be made: ${String(error)}`);
        schedule(plant, EVERY_MS);
      });
    }, wait));
  };
  return {
    schedule,
    async latest(plant) {
      const known = kept.get(plant);
      const old = !known || known.length === 0 || known.some(({ forecast }) => Math.abs(now() - forecast.at) > OLD_MS);
      const told = old ? await make(plant) : known;
      return forecastReply(await memories.upToDate(plant), told, now());
    },
    onMade: (listener) => void listeners.add(listener),
    stop() {
      stopped = true;
      for (const timer of timers.values()) clearTimeout(timer);
    },
    ended: async () => void (await Promise.allSettled(making.values())),
  };
}

/** The line's forecast at `at`: another server may just have made it. */
async function freshOrMade({ db, workers }: Pick<ForecastParts, 'db' | 'workers'>, memory: PlantMemory, line: string, at: Instant): Promise<KeptForecast | null> {
  const before = await latestForecast(db, memory.code, line);
  if (before && before.version === memory.version && Math.abs(at - before.forecast.at) < EVERY_MS) return before;
  const { version, factsAt } = memory;
  const { wanted } = probabilitiesOf(memory, at);
  const posted = await postedMaterial(db, memory, line, at);
  const forecast = await workers.run('lineForecastOf', { posted, wish: { seed: seedOf(memory.code, version), wanted } });
  if (!forecast) return null;
  const told = { forecast, version, factsAt };
  await saveForecast(db, memory.code, told);
  return told;
}

export function mainLines({ setups }: PlantMemory, at: Instant): string[] {
  return (setupAt(setups, at)?.plant.lines ?? []).filter(({ purpose }) => purpose === 'main').map(({ code }) => code);
}
