import type { Fact } from '../../server/core/facts/fact.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { applyChange, type Changed } from '../../server/contract/live.ts';
import { fetchSnapshot, serverNow } from './api.ts';
import { Badges } from './badges.ts';
import { listen } from './live.ts';
import { Outbox } from './outbox.ts';
import { withOwnFacts } from './own-facts.ts';

/**
 * What every screen of a plant draws from: the server's snapshot, kept up to date by its announcements, with this
 * device's own facts that are not in it yet folded on top.
 */
export class PlantStore {
  /** Server state and own facts; null until the first snapshot came. */
  view: Snapshot | null = null;
  /** Whether announcements arrive, and the instant since when that is so. */
  live: { live: boolean; since: number } = { live: false, since: Date.now() };
  /** When the forecast was made that was announced last; 0 before. Goes up too when announcements may have been missed. */
  forecastMade = 0;
  readonly outbox: Outbox;
  readonly badges: Badges;
  private snapshot: Snapshot | null = null;
  private readonly listeners = new Set<() => void>();
  private stopListening: (() => void) | null = null;
  private stopOutbox: (() => void) | null = null;
  private fetching = false;
  private fetchAgain = false;
  private retry: ReturnType<typeof setTimeout> | undefined;

  constructor(readonly plant: string) {
    this.outbox = new Outbox(plant);
    this.badges = new Badges(plant);
  }

  start(): void {
    this.stopOutbox = this.outbox.subscribe(() => this.redraw());
    this.outbox.start();
    this.stopListening = listen(this.plant, {
      connected: () => this.connected(),
      disconnected: () => this.setLive(false),
      changed: (change) => this.changed(change),
      setupChanged: () => void this.refresh(),
      forecastMade: (made) => this.newForecast(made),
    });
    void this.refresh();
  }

  stop(): void {
    clearTimeout(this.retry);
    this.stopListening?.();
    this.stopOutbox?.();
    this.outbox.stop();
  }

  /** Calls `listener` after each change until the function returned is called. */
  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  now(): number {
    return serverNow();
  }

  /** Fetches a fresh snapshot; one at a time, and once more when something moved meanwhile. */
  async refresh(): Promise<void> {
    if (this.fetching) {
      this.fetchAgain = true;
      return;
    }
    this.fetching = true;
    clearTimeout(this.retry);
    try {
      this.snapshot = await fetchSnapshot(this.plant);
      this.setLive(true);
      this.redraw();
    } catch {
      this.setLive(false);
      this.retry = setTimeout(() => void this.refresh(), 3_000);
    } finally {
      this.fetching = false;
    }
    if (this.fetchAgain) {
      this.fetchAgain = false;
      await this.refresh();
    }
  }

  private connected(): void {
    void this.badges.refresh();
    this.newForecast(this.forecastMade + 1);
    void this.refresh();
  }

  private newForecast(made: number): void {
    this.forecastMade = made;
    this.tell();
  }

  private changed(change: Changed): void {
    if (!this.snapshot || this.fetching) return void this.refresh();
    const next = applyChange(this.snapshot, change);
    if (!next) return void this.refresh();
    this.snapshot = next;
    this.redraw();
  }

  private setLive(live: boolean): void {
    if (this.live.live === live) return;
    this.live = { live, since: Date.now() };
    this.tell();
  }

  private redraw(): void {
    if (this.snapshot) {
      this.outbox.forgetSeen(this.snapshot.version);
      const own: Fact[] = this.outbox.ownFacts();
      this.view = withOwnFacts(this.snapshot, own);
    }
    this.tell();
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}
