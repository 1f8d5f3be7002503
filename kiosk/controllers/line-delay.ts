import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { LineDelayReply } from '../../server/contract/line-delay.ts';
import { ask } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';

const AFTER_CHANGE_MS = 1_500;
const AT_LEAST_EVERY_MS = 30_000;

/** Line delay of the shift that runs, asked for again a moment after each change and twice a minute, for what runs over standard grows by itself. */
export class LineDelayController implements ReactiveController {
  /** Null while it is not known, or where the line has no shift. */
  told: LineDelayReply | null = null;
  private version = -1;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly host: ReactiveControllerHost, private readonly store: () => PlantStore | null, private readonly line: () => string | null) {
    host.addController(this);
  }

  hostConnected(): void {
    this.version = -1;
  }

  hostDisconnected(): void {
    clearTimeout(this.timer);
  }

  hostUpdate(): void {
    const version = this.store()?.view?.version ?? -1;
    if (version === this.version || this.line() === null) return;
    const first = this.version < 0;
    this.version = version;
    this.askIn(first ? 0 : AFTER_CHANGE_MS);
  }

  private askIn(wait: number): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.fetch(), wait);
  }

  private async fetch(): Promise<void> {
    const [store, line] = [this.store(), this.line()];
    if (!store || line === null) return;
    try {
      const reply = await ask(`/api/plants/${encodeURIComponent(store.plant)}/lines/${encodeURIComponent(line)}/delay`);
      this.told = reply.status === 204 ? null : ((await reply.json()) as LineDelayReply);
      this.host.requestUpdate();
    } catch {
      // The shell says that the server does not answer; what was told last keeps its instant.
    }
    this.askIn(AT_LEAST_EVERY_MS);
  }
}
