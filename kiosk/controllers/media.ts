import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** Whether a media query holds; draws its host anew when that changes. */
export class MediaController implements ReactiveController {
  private readonly query: MediaQueryList;

  constructor(private readonly host: ReactiveControllerHost, query: string) {
    this.query = window.matchMedia(query);
    host.addController(this);
  }

  get matches(): boolean {
    return this.query.matches;
  }

  hostConnected(): void {
    this.query.addEventListener('change', this.changed);
  }

  hostDisconnected(): void {
    this.query.removeEventListener('change', this.changed);
  }

  private readonly changed = (): void => this.host.requestUpdate();
}
