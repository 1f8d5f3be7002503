import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { ForecastReply } from '../../server/contract/forecast.ts';
import { askJson } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';

const RETRY_MS = 5_000;

/** The plant's forecast, fetched at first and whenever a new one is announced. */
export class ForecastController implements ReactiveController {
  /** Null until the first one came. */
  told: ForecastReply | null = null;
  private made = -1;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly host: ReactiveControllerHost, private readonly store: () => PlantStore | null) {
    host.addController(this);
  }

  hostConnected(): void {
    this.made = -1;
  }

  hostDisconnected(): void {
    clearTimeout(this.timer);
  }

  hostUpdate(): void {
    const store = this.store();
    if (!store || store.forecastMade === this.made) return;
    this.made = store.forecastMade;
    void this.fetch(store.plant);
  }

  private async fetch(plant: string): Promise<void> {
    clearTimeout(this.timer);
    try {
      this.told = await askJson<ForecastReply>(`/api/plants/${encodeURIComponent(plant)}/forecast`, { timeout: 60_000 });
      this.host.requestUpdate();
    } catch {
      // The shell says that the server does not answer; what was told last keeps its instant.
      this.timer = setTimeout(() => void this.fetch(plant), RETRY_MS);
    }
  }
}
