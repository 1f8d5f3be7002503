import type { DeviceRow, DeviceState } from '../../server/contract/devices.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { applyChange, type Changed } from '../../server/contract/live.ts';
import type { Instant } from '../../server/core/units.ts';
import { fetchSnapshot } from './api.ts';
import { Badges } from './badges.ts';
import { clockAhead, serverNow } from './clock.ts';
import { keepKnownPlant, loadKnownPlant } from './known-plant.ts';
import { listen, type Listening } from './live.ts';
import { Outbox } from './outbox.ts';
import { BADGE_WORN, chooseLanguage, who } from './preferences.ts';
import { redrawAll } from './redraw.ts';
import { language } from '../words/catalogue.ts';
import { withOwnFacts } from './own-facts.ts';
import { PhotoBox } from './photo-box.ts';

/** The plant is kept on the disk at most so often, and at least so often while it is live. */
const KEEP_EVERY_MS = 5_000;
const STILL_LIVE_EVERY_MS = 30_000;
const RETRY_MS = 3_000;

/**
 * What every screen of a plant draws from: the server's snapshot, kept up to date by its announcements, with this
 * device's own facts that are not in it yet folded on top. While the server was not heard yet, the snapshot is the last one this device knew.
 */
export class PlantStore {
  /** Server state and own facts; null until the first snapshot came, from the server or from the disk. */
  view: Snapshot | null = null;
  /** Whether announcements arrive, and the instant since when that is so. */
  live: { live: boolean; since: number } = { live: false, since: Date.now() };
  /** The last instant at which the server still said what the view shows; null while it says so now, or nothing is known. */
  asAt: Instant | null = null;
  /** What the kiosks of the plant last said of themselves. */
  devices: DeviceRow[] = [];
  /** When the forecast was made that was announced last; 0 before. Goes up too when announcements may have been missed. */
  forecastMade = 0;
  readonly outbox: Outbox;
  readonly badges: Badges;
  readonly photos: PhotoBox;
  private snapshot: Snapshot | null = null;
  private readonly listeners = new Set<() => void>();
  private listening: Listening | null = null;
  private stopOutbox: (() => void) | null = null;
  private fetching = false;
  private fetchAgain = false;
  private retry: ReturnType<typeof setTimeout> | undefined;
  private keeping: ReturnType<typeof setTimeout> | undefined;
  private stillLive: ReturnType<typeof setInterval> | undefined;

  /** `station`: where the device stands, for those who look for it; '' where it has no place. */
  constructor(readonly plant: string, private readonly station = '') {
    this.outbox = new Outbox(plant);
    this.badges = new Badges(plant);
    this.photos = new PhotoBox(plant, () => this.tell());
  }

  /** The screen speaks the language of who wears the badge. */
  private readonly speak = (): void => {
    const wanted = this.badges.languageOf(who());
    if (wanted === null || wanted === language()) return;
    chooseLanguage(wanted);
    redrawAll(document);
  };

  start(): void {
    window.addEventListener(BADGE_WORN, this.speak);
    this.stopOutbox = this.outbox.subscribe(() => {
      this.redraw();
      this.listening?.say(this.device());
    });
    this.outbox.start();
    this.listening = listen(this.plant, {
      connected: () => this.connected(),
      disconnected: () => this.setLive(false),
      changed: (change) => this.changed(change),
      setupChanged: () => void this.refresh(),
      devices: (rows) => {
        this.devices = rows;
        this.tell();
      },
      forecastMade: (made) => this.newForecast(made),
    });
    this.stillLive = setInterval(() => this.live.live && this.keep(), STILL_LIVE_EVERY_MS);
    void this.photos.send();
    void this.refresh();
    void this.showKnown();
  }

  stop(): void {
    window.removeEventListener(BADGE_WORN, this.speak);
    clearTimeout(this.retry);
    clearTimeout(this.keeping);
    clearInterval(this.stillLive);
    this.listening?.stop();
    this.stopOutbox?.();
    this.outbox.stop();
    this.photos.stop();
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
      this.keep(0);
      this.redraw();
    } catch {
      this.setLive(false);
      this.retry = setTimeout(() => void this.refresh(), RETRY_MS);
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
    this.listening?.say(this.device());
    this.outbox.hurry();
    void this.photos.send();
    this.newForecast(this.forecastMade + 1);
    void this.refresh();
  }

  private newForecast(made: number): void {
    this.forecastMade = made;
    this.tell();
  }

  private changed(change: Changed): void {
    if (!this.snapshot || this.asAt !== null || this.fetching) return void this.refresh();
    const next = applyChange(this.snapshot, change);
    if (!next) return void this.refresh();
    this.snapshot = next;
    this.keep();
    this.redraw();
  }

  /** The plant as last known, until the server says how it is. */
  private async showKnown(): Promise<void> {
    const known = await loadKnownPlant(this.plant);
    if (!known || this.snapshot) return;
    this.snapshot = known.snapshot;
    this.asAt = known.asAt;
    this.redraw();
  }

  private keep(wait = KEEP_EVERY_MS): void {
    this.keeping ??= setTimeout(() => {
      this.keeping = undefined;
      if (!this.snapshot) return;
      const { version } = this.snapshot;
      // Kept or, for want of room, not: what the server has acknowledged need not fill the disk either.
      void keepKnownPlant(this.plant, { snapshot: this.snapshot, asAt: this.asAt ?? this.now() }).then(() => this.outbox.forgetKnown(version));
    }, wait);
  }

  private setLive(live: boolean): void {
    if (live) this.asAt = null;
    else if (this.snapshot) this.asAt ??= this.now();
    if (this.live.live === live) return;
    this.live = { live, since: Date.now() };
    this.tell();
  }

  private device(): DeviceState {
    return { station: this.station, unsent: this.outbox.unsent().n, oldest: this.outbox.unsent().oldest, clockAhead: clockAhead() };
  }

  private redraw(): void {
    if (this.snapshot) {
      this.view = withOwnFacts(this.snapshot, this.outbox.ownFacts(this.snapshot.version));
    }
    this.tell();
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}
