import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { ApiError, askJson } from '../data/api.ts';

/** A report over weeks takes seconds, and waits for its turn. */
const LONGEST_MS = 120_000;
const RETRY_MS = 3_000;

/** What the server tells at `path()`, asked for again when that changes, and until it answers. */
export class ReportController<T> implements ReactiveController {
  /** Null until the first answer; of the path before while another one is on its way. */
  told: T | null = null;
  /** What the server said against it, in its words; '' for nothing. */
  problem = '';
  away = false;
  asking = false;
  private path: string | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly host: ReactiveControllerHost, private readonly wanted: () => string | null) {
    host.addController(this);
  }

  hostUpdate(): void {
    const path = this.wanted();
    if (path === this.path || path === null) return;
    this.path = path;
    this.asking = true;
    clearTimeout(this.timer);
    void this.fetch(path);
  }

  hostDisconnected(): void {
    clearTimeout(this.timer);
    this.path = null;
  }

  /** Asks for the same again: something it tells was changed from here. */
  again(): void {
    this.path = null;
    this.host.requestUpdate();
  }

  private async fetch(path: string): Promise<void> {
    try {
      const told = await askJson<T>(path, { timeout: LONGEST_MS });
      if (path === this.path) Object.assign(this, { told, problem: '', away: false, asking: false });
    } catch (error) {
      if (path !== this.path) return;
      const refused = error instanceof ApiError && error.status >= 400 && error.status < 500;
      Object.assign(this, { asking: false, away: !refused, problem: refused ? `${error.what} ${error.whatToDo}` : '', told: refused ? null : this.told });
      if (!refused) this.timer = setTimeout(() => void this.fetch(path), RETRY_MS);
    }
    this.host.requestUpdate();
  }
}
