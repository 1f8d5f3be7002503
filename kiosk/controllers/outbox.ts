import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Outbox } from '../data/outbox.ts';

/** Draws its host anew whenever this device's unsent or refused facts change. */
export class OutboxController implements ReactiveController {
  private unsubscribe: (() => void) | null = null;
  private subscribed: Outbox | null = null;

  constructor(private readonly host: ReactiveControllerHost, private readonly outbox: () => Outbox | null | undefined) {
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
    const outbox = this.outbox() ?? null;
    if (outbox === this.subscribed) return;
    this.unsubscribe?.();
    this.subscribed = outbox;
    this.unsubscribe = outbox?.subscribe(() => this.host.requestUpdate()) ?? null;
  }
}
