import { type IDBPDatabase, openDB } from 'idb';
import { v7 as uuidv7 } from 'uuid';
import { ApiError, ask } from './api.ts';
import { serverNow } from './clock.ts';
import { inOneTab } from './tab-lock.ts';

interface KeptPhoto {
  id: string;
  plant: string;
  blob: Blob;
}

const STORE = 'photos';
const RETRY_MS = 15_000;
const LONGEST_MS = 60_000;

/** Photos of this device until the server has them: on its disk first, apart from the facts, which go first and wait for no photo. */
export class PhotoBox {
  /** How many are not sent; those the server refused are let go of, with what it said in `refused`. */
  unsent = 0;
  refused = '';
  private database: Promise<IDBPDatabase> | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private sending = false;
  private again = false;

  constructor(private readonly plant: string, private readonly changed: () => void) {}

  stop(): void {
    clearTimeout(this.timer);
    this.timer = undefined;
  }

  /** Its id, once the photo is on the disk. Throws when the disk does not take it. */
  async keep(blob: Blob): Promise<string> {
    const id = uuidv7({ msecs: serverNow() });
    await (await this.open()).put(STORE, { id, plant: this.plant, blob } satisfies KeptPhoto);
    this.unsent++;
    this.changed();
    void this.send();
    return id;
  }

  /** The photo: this device's own, or the server's; null where neither has it. */
  async read(id: string): Promise<Blob | null> {
    const own = (await (await this.open()).get(STORE, id).catch(() => undefined)) as KeptPhoto | undefined;
    if (own) return own.blob;
    try {
      return await (await ask(photoPath(this.plant, id))).blob();
    } catch (error) {
      if (error instanceof ApiError) return null;
      throw error;
    }
  }

  /** Sends what waits, oldest first, and tries again later while the server does not answer. */
  async send(): Promise<void> {
    this.again = this.sending;
    if (this.sending) return;
    this.sending = true;
    this.stop();
    const all = await inOneTab('stationhand-photos', () => this.sendAll(), true).catch(() => false);
    this.sending = false;
    if (this.again) void this.send();
    else if (all === false) this.timer = setTimeout(() => void this.send(), RETRY_MS);
  }

  /** Whether nothing of this plant is left. */
  private async sendAll(): Promise<boolean> {
    const database = await this.open();
    const waiting = ((await database.getAll(STORE)) as KeptPhoto[]).filter(({ plant }) => plant === this.plant);
    this.unsent = waiting.length;
    this.changed();
    let left = false;
    for (const { id, blob } of waiting) {
      try {
        await ask(photoPath(this.plant, id), { method: 'PUT', body: blob, type: 'image/jpeg', timeout: LONGEST_MS });
      } catch (error) {
        if (!(error instanceof ApiError)) return false;
        if (error.code === 'noRight') {
          // Another person, or this device paired again, may hand it in: it waits, and holds no other up.
          left = true;
          continue;
        }
        // Only the server's own word that it will never take it lets go of it.
        if (error.code !== 'malformedPhoto') return false;
        this.refused = error.what;
      }
      await database.delete(STORE, id);
      this.unsent--;
      this.changed();
    }
    return !left;
  }

  private open(): Promise<IDBPDatabase> {
    this.database ??= openDB('stationhand-photos', 1, {
      upgrade: (made) => void made.createObjectStore(STORE, { keyPath: 'id' }),
      terminated: () => void (this.database = null),
    }).catch((error: unknown) => {
      this.database = null;
      throw error;
    });
    return this.database;
  }
}

function photoPath(plant: string, id: string): string {
  return `/api/plants/${encodeURIComponent(plant)}/photos/${encodeURIComponent(id)}`;
}
