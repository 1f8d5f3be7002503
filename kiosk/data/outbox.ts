import { openDB, type IDBPDatabase } from 'idb';
import { v7 as uuidv7 } from 'uuid';
import { toWire } from '../../server/contract/fact-wire.ts';
import type { Fact, FactKind } from '../../server/core/facts/fact.ts';
import { ApiError, postFacts, serverNow } from './api.ts';
import { deviceId } from './device-id.ts';
import { who } from './preferences.ts';
import { inOneTab } from './tab-lock.ts';

/** What a fact of a kind says for itself. */
export type Own<K extends FactKind> = Omit<Extract<Fact, { kind: K }>, 'kind' | 'id' | 'happened' | 'told' | 'who' | 'device' | 'counter'>;

/** A fact on this device's disk: waiting to be sent, acknowledged but not in the snapshot yet, or refused with what the server said. */
interface Kept {
  counter: number;
  plant: string;
  fact: Fact;
  /** Version of the snapshot that holds it, once acknowledged. */
  version: number | null;
  refused: string | null;
}

const BATCH = 50;
const FIRST_WAIT = 1_000;
const LONGEST_WAIT = 30_000;
const STORE = 'facts';
const REFUSED_AS_A_WHOLE = [400, 413, 415, 422];

/**
 * What this device states, on its disk first: sent in order, once, and forgotten only when the server has acknowledged it. Two tabs
 * share it: a lock lets one of them send at a time (the server takes a fact sent twice once), and each tells the other what it changed on the disk.
 */
export class Outbox {
  private kept: Kept[] = [];
  private readonly listeners = new Set<() => void>();
  private database: Promise<IDBPDatabase> | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private wait = FIRST_WAIT;
  private size = BATCH;
  private running = false;
  /** What another tab stated, sent or put away is on the disk that both read. */
  private tabs: BroadcastChannel | null = null;

  constructor(private readonly plant: string) {}

  start(): void {
    this.running = true;
    this.tabs = new BroadcastChannel('stationhand-outbox');
    this.tabs.addEventListener('message', () => void this.load());
    void this.load().then(() => this.send());
  }

  stop(): void {
    this.running = false;
    clearTimeout(this.timer);
    this.tabs?.close();
    this.tabs = null;
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /** States a fact: resolves once it is on the disk. `at` is the instant a person said, else it happened now. */
  async state<K extends FactKind>(kind: K, own: Own<K>, at: number | null = null): Promise<Fact> {
    const database = await this.open();
    const now = Math.round(serverNow());
    // The id holds when it is stated, by the clock that rights are judged by.
    const base = { id: uuidv7({ msecs: now }), happened: Math.round(at ?? now), told: at !== null, who: who() || 'nobody', device: deviceId() };
    // The counter is read and raised in one transaction: the disk gives it to one tab at a time.
    const writing = database.transaction([STORE, 'meta'], 'readwrite', { durability: 'strict' });
    const counter = ((await writing.objectStore('meta').get('counter')) as number | undefined ?? 0) + 1;
    const fact = { ...base, counter, kind, ...own } as unknown as Fact;
    await writing.objectStore(STORE).put({ counter, plant: this.plant, fact, version: null, refused: null } satisfies Kept);
    await writing.objectStore('meta').put(counter, 'counter');
    await writing.done;
    await this.changed();
    this.wait = FIRST_WAIT;
    void this.send();
    return fact;
  }

  /** Facts that the snapshot does not hold yet, in order, refused ones left out. */
  ownFacts(): Fact[] {
    return this.kept.filter((kept) => kept.refused === null).map((kept) => kept.fact);
  }

  unsent(): number {
    return this.kept.filter((kept) => kept.refused === null && kept.version === null).length;
  }

  refused(): { fact: Fact; why: string }[] {
    return this.kept.flatMap((kept) => (kept.refused === null ? [] : [{ fact: kept.fact, why: kept.refused }]));
  }

  /** A person has read why it was refused. */
  async dismiss(id: string): Promise<void> {
    await this.remove(this.kept.filter((kept) => kept.fact.id === id && kept.refused !== null));
  }

  /** The snapshot of `version` is drawn: acknowledged facts in it need no fold of their own any more. */
  forgetSeen(version: number): void {
    const seen = this.kept.filter((kept) => kept.version !== null && kept.version <= version);
    if (seen.length === 0) return;
    this.kept = this.kept.filter((kept) => !seen.includes(kept));
    void this.remove(seen);
  }

  private async send(): Promise<void> {
    clearTimeout(this.timer);
    if (!this.running) return;
    let again = false;
    try {
      again = (await inOneTab('stationhand-send', () => this.sendBatch(), true)) ?? true;
      this.wait = FIRST_WAIT;
    } catch {
      // No answer, or a disk that does not write just now: nothing is forgotten, so the same is tried again.
      again = true;
      this.wait = Math.min(LONGEST_WAIT, this.wait * 2);
    }
    if (again && this.running) this.timer = setTimeout(() => void this.send(), this.wait);
  }

  /** Sends the oldest unsent facts. Returns whether more are left. */
  private async sendBatch(): Promise<boolean> {
    await this.load();
    const batch = this.kept.filter((kept) => kept.version === null && kept.refused === null).slice(0, this.size);
    if (batch.length === 0) return false;
    const answer = await this.post(batch);
    if (!answer) return true;
    const { replies, version } = answer;
    const database = await this.open();
    const writing = database.transaction(STORE, 'readwrite', { durability: 'strict' });
    for (const kept of batch) {
      const reply = replies.find((candidate) => candidate.id === kept.fact.id);
      if (!reply) continue;
      const refused = reply.outcome === 'refused' ? (reply.why?.error.what ?? reply.outcome) : null;
      await writing.store.put({ ...kept, version: refused === null ? version : null, refused } satisfies Kept);
    }
    await writing.done;
    await this.changed();
    return this.unsent() > 0;
  }

  /**
   * The answer to a batch. One that the server refuses as a whole is sent again fact by fact, so that a bad one does not keep the
   * others back; a single fact refused as a whole is set aside with what the server said. Null in both cases.
   */
  private async post(batch: readonly Kept[]): Promise<Awaited<ReturnType<typeof postFacts>> | null> {
    try {
      const answer = await postFacts(this.plant, batch.map((kept) => toWire(kept.fact)));
      this.size = BATCH;
      return answer;
    } catch (error) {
      if (!(error instanceof ApiError) || !REFUSED_AS_A_WHOLE.includes(error.status)) throw error;
      const [only] = batch;
      this.size = 1;
      if (batch.length > 1 || !only) return null;
      const database = await this.open();
      await database.put(STORE, { ...only, refused: error.what } satisfies Kept);
      await this.changed();
      return null;
    }
  }

  private async remove(gone: readonly Kept[]): Promise<void> {
    const database = await this.open();
    for (const kept of gone) await database.delete(STORE, kept.counter);
    await this.changed();
  }

  private async changed(): Promise<void> {
    await this.load();
    this.tabs?.postMessage('changed');
  }

  private async load(): Promise<void> {
    const database = await this.open();
    this.kept = ((await database.getAll(STORE)) as Kept[]).filter((kept) => kept.plant === this.plant);
    for (const listener of this.listeners) listener();
  }

  private open(): Promise<IDBPDatabase> {
    this.database ??= openDB('stationhand', 1, {
      upgrade(database) {
        database.createObjectStore(STORE, { keyPath: 'counter' });
        database.createObjectStore('meta');
      },
    });
    return this.database;
  }
}
