import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { PlantStore } from '../data/plant-store.ts';

/** Draws its host anew whenever the store that the host was given changes. */
export class PlantController implements ReactiveController {
  private subscribed: PlantStore | null = null;
  private unsubscribe: (() => void) | null = null;

  constructor(private readonly host: ReactiveControllerHost, private readonly store: () => PlantStore | null | undefined) {
    host.addController(this);
  }

  hostConnected(): void {
    this.follow();
  }

  hostUpdate(): void {
    this.follow();
  }

  hostDisconnected(): void {
    this.unsubscribe?.();
    this.unsubscribe = null;
    this.subscribed = null;
  }

  private follow(): void {
    const store = this.store() ?? null;
    if (store === this.subscribed) return;
    this.unsubscribe?.();
    this.subscribed = store;
    this.unsubscribe = store?.subscribe(() => this.host.requestUpdate()) ?? null;
  }
}
