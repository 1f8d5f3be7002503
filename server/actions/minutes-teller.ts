import type { Db } from '../store/database.ts';
import type { PlantMemories } from './plant-memories.ts';
import { bringMinutesUp } from './tell-minutes.ts';
import type { Workers } from './workers.ts';

export interface MinutesTeller {
  /** Something of the plant was recorded: its minutes are told a moment later, many commits at once. */
  schedule(plant: string): void;
  /** Tells the minutes of the plant as far as its log goes now. */
  now(plant: string): Promise<void>;
  /** Nothing is begun after it. */
  stop(): void;
  /** Resolves when nothing is being told any more: soon after the threads were ended. */
  ended(): Promise<void>;
}

const WINDOW_MS = 700;
const RETRY_MS = 5_000;
/** Telling takes no more than so much of the time: whoever needs the minutes sooner asks for them. */
const SHARE = 0.05;

/** Keeps the minutes of visits in the database up with the log, beside everything else and holding up nothing. */
export function createMinutesTeller(db: Db, memories: PlantMemories, workers: Workers, log: (message: string) => void): MinutesTeller {
  const timers = new Map<string, NodeJS.Timeout>();
  const telling = new Map<string, Promise<void>>();
  const waiting = new Map<string, Promise<void>>();
  const took = new Map<string, number>();
  let stopped = false;

  const tell = async (plant: string): Promise<void> => {
    const began = performance.now();
    await bringMinutesUp(db, await memories.upToDate(plant), (wanted) => workers.run('endedVisitsOf', wanted));
    took.set(plant, performance.now() - began);
  };
  const begin = (plant: string): Promise<void> => {
    const own = tell(plant).finally(() => telling.delete(plant));
    telling.set(plant, own);
    return own;
  };
  /** One at a time: whoever asks meanwhile waits for it, and then for one more that all of them share. */
  const now = (plant: string): Promise<void> => {
    const running = telling.get(plant);
    if (!running) return begin(plant);
    const next = waiting.get(plant) ?? running.catch(() => {}).then(() => {
      waiting.delete(plant);
      return begin(plant);
    });
    waiting.set(plant, next);
    return next;
  };
  const schedule = (plant: string, wait = Math.max(WINDOW_MS, (took.get(plant) ?? 0) / SHARE)): void => {
    if (stopped || timers.has(plant)) return;
    timers.set(plant, setTimeout(() => {
      timers.delete(plant);
      now(plant).catch((error: unknown) => {
        if (stopped) return;
        log(`the minutes of ${plant} could not be told: ${String(error)}`);
        schedule(plant, RETRY_MS);
      });
    }, wait));
  };
  return {
    schedule, now,
    stop() {
      stopped = true;
      for (const timer of timers.values()) clearTimeout(timer);
    },
    ended: async () => void (await Promise.allSettled([...waiting.values(), ...telling.values()])),
  };
}
