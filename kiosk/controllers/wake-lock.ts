import type { ReactiveController, ReactiveControllerHost } from 'lit';

/**
 * Keeps the screen on while its host is shown. Where the browser has no wake lock, a picture that plays unseen does it on most
 * devices (common practice, no source); `state` says which of them, so that a person can set the device itself.
 */
export class WakeLockController implements ReactiveController {
  state: 'asked' | 'kept' | 'byPicture' | 'not' = 'asked';
  private lock: WakeLockSentinel | null = null;
  private picture: HTMLVideoElement | null = null;

  constructor(private readonly host: ReactiveControllerHost) {
    host.addController(this);
  }

  hostConnected(): void {
    document.addEventListener('visibilitychange', this.ask);
    this.ask();
  }

  hostDisconnected(): void {
    document.removeEventListener('visibilitychange', this.ask);
    void this.lock?.release().catch(() => {});
    this.picture?.remove();
    this.lock = this.picture = null;
  }

  /** The browser takes the lock back whenever the page is hidden. */
  private readonly ask = (): void => {
    if (document.visibilityState === 'visible') void this.keep();
  };

  private async keep(): Promise<void> {
    try {
      if (!('wakeLock' in navigator)) throw new Error('No wake lock here.');
      this.lock = await navigator.wakeLock.request('screen');
      this.state = 'kept';
    } catch {
      this.state = (await this.play()) ? 'byPicture' : 'not';
    }
    this.host.requestUpdate();
  }

  private async play(): Promise<boolean> {
    try {
      this.picture ??= stillPicture();
      await this.picture.play();
      return true;
    } catch {
      return false;
    }
  }
}

function stillPicture(): HTMLVideoElement {
  const canvas = Object.assign(document.createElement('canvas'), { width: 2, height: 2 });
  canvas.getContext('2d')?.fillRect(0, 0, 2, 2);
  const video = Object.assign(document.createElement('video'), { muted: true, playsInline: true, srcObject: canvas.captureStream(1) });
  video.setAttribute('aria-hidden', 'true');
  video.style.cssText = 'position: fixed; inline-size: 1px; block-size: 1px; opacity: 0; pointer-events: none';
  document.body.append(video);
  return video;
}
