import type { Changed, SetupChanged } from '../contract/live.ts';
import type { Snapshot } from '../contract/snapshot.ts';
import { diffSnapshots } from './diff-snapshots.ts';

export interface AnnouncerParts {
  snapshot(plant: string): Promise<Snapshot>;
  /** Whether any screen of the plant listens. */
  isHeard(plant: string): boolean;
  changed(plant: string, change: Changed): void;
  setupChanged(plant: string, change: SetupChanged): void;
  log(message: string): void;
}

export interface Announcer {
  /** Something was committed in the plant: told within `WINDOW_MS`, or as soon after the last time as making a snapshot allows. */
  commit(plant: string): void;
  stop(): void;
}

/** Commits of so long are told together. */
const WINDOW_MS = 50;
/** Making snapshots may take at most half of the time, so that scans are not held up by boards. */
const REST = 1;
const RETRY_MS = 500;

interface Telling {
  last: Snapshot | null;
  timer: NodeJS.Timeout | null;
  busy: boolean;
  again: boolean;
  notBefore: number;
}

/** Tells the screens of each plant what changed since it was last told. Without a screen that listens nothing is made. */
export function createAnnouncer({ snapshot, isHeard, changed, setupChanged, log }: AnnouncerParts): Announcer {
  const plants = new Map<string, Telling>();
  let stopped = false;

  const tell = async (plant: string, telling: Telling): Promise<void> => {
    if (!isHeard(plant)) {
      telling.last = null;
      return;
    }
    const began = performance.now();
    const next = await snapshot(plant);
    const { last } = telling;
    telling.last = next;
    if (last && last.setupVersion !== next.setupVersion) setupChanged(plant, { version: next.setupVersion });
    // The first time nobody is known to have any snapshot: a version that no screen has makes every screen fetch one, save those that are up to date.
    else if (!last) changed(plant, { ...diffSnapshots(next, next), from: -1 });
    else if (last.version !== next.version) changed(plant, diffSnapshots(last, next));
    const took = performance.now() - began;
    telling.notBefore = performance.now() + took * REST;
  };
  const run = async (plant: string, telling: Telling): Promise<void> => {
    telling.timer = null;
    telling.busy = true;
    telling.again = false;
    try {
      await tell(plant, telling);
    } catch (error) {
      log(`the screens of ${plant} could not be told what changed: ${String(error)}`);
      telling.again = true;
      telling.notBefore = performance.now() + RETRY_MS;
    }
    telling.busy = false;
    if (telling.again) schedule(plant, telling);
  };
  const schedule = (plant: string, telling: Telling): void => {
    if (stopped || telling.timer) return;
    telling.timer = setTimeout(() => void run(plant, telling), Math.max(WINDOW_MS, telling.notBefore - performance.now()));
  };

  return {
    commit(plant) {
      const telling = plants.get(plant) ?? { last: null, timer: null, busy: false, again: false, notBefore: 0 };
      plants.set(plant, telling);
      if (telling.busy) telling.again = true;
      else schedule(plant, telling);
    },
    stop() {
      stopped = true;
      for (const { timer } of plants.values()) if (timer) clearTimeout(timer);
    },
  };
}
