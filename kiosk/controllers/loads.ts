import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { LoadsReply } from '../../server/contract/loads.ts';
import { askJson } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';

const AFTER_CHANGE_MS = 700;
const RETRY_MS = 5_000;

/** The plant's loads, fetched at first, a moment after the plant changed, and when a forecast was made. */
export class LoadsController implements ReactiveController {
  /** Null until the first answer. */
  told: LoadsReply | null = null;
  private seen = '';
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly host: ReactiveControllerHost, private readonly store: () => PlantStore | null) {
    host.addController(this);
  }

  hostConnected(): void {
    this.seen = '';
  }

  hostDisconnected(): void {
    clearTimeout(this.timer);
  }

  hostUpdate(): void {
    const store = this.store();
    if (!store?.view) return;
    const now = `${store.view.version} ${store.forecastMade}`;
    if (now === this.seen) return;
    const first = this.seen === '';
    this.seen = now;
    this.askIn(first ? 0 : AFTER_CHANGE_MS, store.plant);
  }

  private askIn(wait: number, plant: string): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.fetch(plant), wait);
  }

  private async fetch(plant: string): Promise<void> {
    try {
      this.told = await askJson<LoadsReply>(`/api/plants/${encodeURIComponent(plant)}/loads`, { timeout: 60_000 });
      this.host.requestUpdate();
    } catch {
      // The shell says that the server does not answer; what was told last keeps its instant.
      this.askIn(RETRY_MS, plant);
    }
  }
}
