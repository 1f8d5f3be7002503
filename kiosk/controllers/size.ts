import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** CSS pixels inside its host's edges, whole ones; draws the host anew when they change. `width` holds until it was measured, `least` is told for a narrower one. */
export class SizeController implements ReactiveController {
  width: number;
  height = 0;
  private readonly observer: ResizeObserver;

  constructor(private readonly host: ReactiveControllerHost & Element, { width = 0, least = 0 } = {}) {
    this.width = width;
    this.observer = new ResizeObserver(([entry]) => {
      if (!entry) return;
      this.width = Math.max(least, Math.floor(entry.contentRect.width));
      this.height = Math.floor(entry.contentRect.height);
      host.requestUpdate();
    });
    host.addController(this);
  }

  hostConnected(): void {
    this.observer.observe(this.host);
  }

  hostDisconnected(): void {
    this.observer.disconnect();
  }
}
