import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { serverNow } from '../data/clock.ts';

/** Now by the server's clock; draws its host anew each second. */
export class ClockController implements ReactiveController {
  now = serverNow();
  private timer: ReturnType<typeof setInterval> | undefined;

  constructor(private readonly host: ReactiveControllerHost, private readonly everyMs = 1_000) {
    host.addController(this);
  }

  hostConnected(): void {
    this.timer = setInterval(() => {
      this.now = serverNow();
      this.host.requestUpdate();
    }, this.everyMs);
  }

  hostDisconnected(): void {
    clearInterval(this.timer);
  }
}
