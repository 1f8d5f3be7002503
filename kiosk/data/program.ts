/** A person who touched nothing for so long is in the middle of nothing. */
const IDLE_MS = 60_000;
const LOOK_EVERY_MS = 30 * 60_000;

/** Whether this device opens the program without a network: `no` on a page that came over plain http from another machine, where browsers allow none of it. */
export type Kept = 'yes' | 'notYet' | 'no';

export function programKept(): Kept {
  if (!('serviceWorker' in navigator)) return 'no';
  return navigator.serviceWorker.controller === null ? 'notYet' : 'yes';
}

/**
 * The program on this device. A new one is taken as soon as the kiosk is left alone for a minute, or when a person says so; what is not
 * sent is on the disk and is sent by the new one.
 */
export class Program {
  /** A new program is here and waits to be taken. */
  updated = false;
  private registration: ServiceWorkerRegistration | null = null;
  private touched = performance.now();

  constructor(private readonly changed: () => void) {}

  start(): void {
    if (!('serviceWorker' in navigator) || import.meta.env.DEV) return;
    for (const kind of ['keydown', 'pointerdown'] as const) window.addEventListener(kind, () => (this.touched = performance.now()), { capture: true, passive: true });
    const first = navigator.serviceWorker.controller === null;
    let claimed = first;
    navigator.serviceWorker.addEventListener('controllerchange', () => {
      // The first one only begins to keep this very program.
      if (claimed) claimed = false;
      else this.whenIdle(() => location.reload());
      this.changed();
    });
    void this.register();
  }

  /** Asks the server for a new program: when the way to it is open again. */
  look(): void {
    this.registration?.update().catch(() => {});
  }

  /** Takes the new program now. The page is loaded anew. */
  take(): void {
    this.touched = Number.NEGATIVE_INFINITY;
    this.registration?.waiting?.postMessage('takeOver');
  }

  private async register(): Promise<void> {
    try {
      this.registration = await navigator.serviceWorker.register('/service-worker.js', { updateViaCache: 'none' });
    } catch {
      // No room, or no way to the server: tried again when the page opens next; `programKept` says how it is.
      return;
    }
    const { registration } = this;
    registration.addEventListener('updatefound', () => {
      const coming = registration.installing;
      coming?.addEventListener('statechange', () => this.ready());
    });
    this.ready();
    setInterval(() => this.look(), LOOK_EVERY_MS);
  }

  private ready(): void {
    if (!this.registration?.waiting || navigator.serviceWorker.controller === null || this.updated) return;
    this.updated = true;
    this.changed();
    this.whenIdle(() => this.take());
  }

  private whenIdle(work: () => void): void {
    const left = this.touched + IDLE_MS - performance.now();
    if (left <= 0) work();
    else setTimeout(() => this.whenIdle(work), left);
  }
}
