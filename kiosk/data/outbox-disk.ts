import { type IDBPDatabase, openDB } from 'idb';
import type { Fact } from '../../server/core/facts/fact.ts';

/** A fact on this device's disk: waiting to be sent, acknowledged but not in the snapshot yet, or refused with what the server said. */
export interface Kept {
  counter: number;
  plant: string;
  fact: Fact;
  /** Version of the snapshot that holds it, once acknowledged. */
  version: number | null;
  refused: string | null;
  /** Why the server refused it, as `where` of its answer says: a word that the screen can say in its own language. */
  why?: string;
  /** It was stated by badge and PIN, which is nowhere on the disk. */
  takesPin?: boolean;
  /** The server takes it from the wearer of this badge, signed in, and from nobody else. */
  waitsFor?: string;
  /** `Reading.unsure` of its instant while that waits for the server's clock; absent: the instant stands and the fact may be sent. */
  unsure?: number;
}

/** The disk did not take a fact. `full`: for want of room. */
export class DiskError extends Error {
  constructor(readonly full: boolean, cause: unknown) {
    super(String(cause), { cause });
  }
}

const STORE = 'facts';
const META = 'meta';
const STRICT = { durability: 'strict' } as const;

/** The device's disk as the outbox uses it: what a promise here resolved for is there after a power cut. */
export class OutboxDisk {
  private database: Promise<IDBPDatabase> | null = null;

  /** The id that goes with this disk's counter; `make` gives it the first time. One transaction: two tabs are given the same. */
  async device(make: () => string): Promise<string> {
    return this.attempt(async (database) => {
      const writing = database.transaction(META, 'readwrite', STRICT);
      const done = writing.done;
      done.catch(() => {});
      const kept = (await writing.store.get('device')) as string | undefined;
      const device = kept ?? make();
      if (kept === undefined) await writing.store.put(device, 'device');
      await done;
      return device;
    });
  }

  /** Another id in its place; facts that are kept already keep theirs. */
  async takeDevice(device: string): Promise<void> {
    await this.attempt((database) => database.put(META, device, 'device'));
  }

  /** Every fact kept, of all plants, by counter. */
  async all(): Promise<Kept[]> {
    return this.attempt(async (database) => (await database.getAll(STORE)) as Kept[]);
  }

  /** Keeps a fact with the device's next counter. Throws `DiskError`: then it is not kept. */
  async add(make: (counter: number) => Kept): Promise<Kept> {
    return this.attempt(async (database) => {
      // The counter is read and raised in one transaction: the disk gives it to one tab at a time.
      const writing = database.transaction([STORE, META], 'readwrite', STRICT);
      const done = writing.done;
      done.catch(() => {});
      const counter = ((await writing.objectStore(META).get('counter')) as number | undefined ?? 0) + 1;
      const kept = make(counter);
      await writing.objectStore(STORE).put(kept);
      await writing.objectStore(META).put(counter, 'counter');
      await done;
      return kept;
    });
  }

  /** Writes what became of facts, all or nothing. */
  async change(put: readonly Kept[], gone: readonly Kept[] = []): Promise<void> {
    await this.attempt(async (database) => {
      const writing = database.transaction(STORE, 'readwrite', STRICT);
      const done = writing.done;
      done.catch(() => {});
      for (const kept of put) await writing.store.put(kept);
      for (const { counter } of gone) await writing.store.delete(counter);
      await done;
    });
  }

  /** Writes what `make` makes of the facts as they stand on the disk now, in one transaction, and returns it. Facts no longer there are left out. */
  async rewrite(facts: readonly Kept[], make: (kept: Kept) => Kept): Promise<Kept[]> {
    return this.attempt(async (database) => {
      const writing = database.transaction(STORE, 'readwrite', STRICT);
      const done = writing.done;
      done.catch(() => {});
      const made: Kept[] = [];
      for (const { counter } of facts) {
        const now = (await writing.store.get(counter)) as Kept | undefined;
        if (!now) continue;
        made.push(make(now));
        await writing.store.put(made.at(-1)!);
      }
      await done;
      return made;
    });
  }

  /** Once more on a fresh connection when the browser has closed the old one. */
  private async attempt<T>(work: (database: IDBPDatabase) => Promise<T>): Promise<T> {
    try {
      return await work(await this.open());
    } catch (error) {
      this.database = null;
      if (!isClosed(error)) throw new DiskError(isFull(error), error);
    }
    try {
      return await work(await this.open());
    } catch (error) {
      this.database = null;
      throw new DiskError(isFull(error), error);
    }
  }

  private open(): Promise<IDBPDatabase> {
    const forget = (): void => void (this.database = null);
    this.database ??= openDB('stationhand', 1, {
      upgrade(database) {
        database.createObjectStore(STORE, { keyPath: 'counter' });
        database.createObjectStore(META);
      },
      // A newer program in another tab wants to change the form of the database: it may.
      blocking(_from, _to, event) {
        forget();
        (event.target as IDBDatabase).close();
      },
      terminated: forget,
    });
    return this.database;
  }
}

function isClosed(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'InvalidStateError';
}

function isFull(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'QuotaExceededError';
}
