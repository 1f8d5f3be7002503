import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { type CodeDecoder, openDecoder } from '../data/code-decoder.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

const LOOK_EVERY_MS = 120;
/** A code that stays in front of the camera is read once; out of sight for so long it may be read again. */
const AGAIN_AFTER_MS = 3_000;
const WIDEST = 1_280;

/** The device's camera as a scanner. Fires `code` with what it read as `detail`. */
@customElement('sh-code-camera')
export class CodeCamera extends LitElement {
  static override styles = [base, css`
    :host { display: block; }
    video { width: 100%; max-height: 46vh; object-fit: cover; border-radius: var(--radius); background: var(--sunken); display: block; }
    p { margin: 0; padding: 12px; background: var(--yellow-fill); color: var(--yellow-ink); border-radius: var(--radius); font-weight: 700; }
  `];

  @state() private trouble: 'none' | 'notAllowed' | 'noCamera' | 'plainHttp' = 'none';
  @query('video') private readonly video!: HTMLVideoElement | null;
  private stream: MediaStream | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private last = { code: '', seen: Number.NEGATIVE_INFINITY };
  private readonly canvas = document.createElement('canvas');

  override connectedCallback(): void {
    super.connectedCallback();
    void this.open();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    clearTimeout(this.timer);
    for (const track of this.stream?.getTracks() ?? []) track.stop();
    this.stream = null;
  }

  override render(): TemplateResult {
    return html`${this.trouble === 'none' ? nothing : html`<p role="alert">${t(`camera.${this.trouble}`)}</p>`}
      <video ?hidden=${this.trouble !== 'none'} muted playsinline aria-label=${t('camera.picture')}></video>`;
  }

  private async open(): Promise<void> {
    if (!('mediaDevices' in navigator)) return void (this.trouble = 'plainHttp');
    try {
      this.stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment', width: { ideal: WIDEST } }, audio: false });
      const decoder = await openDecoder();
      await this.updateComplete;
      if (!this.isConnected || !this.video) return this.disconnectedCallback();
      this.video.srcObject = this.stream;
      await this.video.play();
      this.look(decoder);
    } catch (error) {
      this.trouble = error instanceof DOMException && error.name === 'NotAllowedError' ? 'notAllowed' : 'noCamera';
    }
  }

  private look(decoder: CodeDecoder): void {
    this.timer = setTimeout(() => void this.read(decoder).catch(() => {}).then(() => this.stream && this.look(decoder)), LOOK_EVERY_MS);
  }

  private async read(decoder: CodeDecoder): Promise<void> {
    const picture = this.picture();
    const code = picture && (await decoder.read(picture));
    if (!code) return;
    const now = performance.now();
    const again = code === this.last.code && now - this.last.seen < AGAIN_AFTER_MS;
    this.last = { code, seen: now };
    if (!again) this.dispatchEvent(new CustomEvent('code', { detail: code }));
  }

  private picture(): ImageData | null {
    const { video, canvas } = this;
    if (!video || video.videoWidth === 0) return null;
    canvas.width = Math.min(WIDEST, video.videoWidth);
    canvas.height = Math.round((video.videoHeight * canvas.width) / video.videoWidth);
    const context = canvas.getContext('2d', { willReadFrequently: true });
    if (!context) return null;
    context.drawImage(video, 0, 0, canvas.width, canvas.height);
    return context.getImageData(0, 0, canvas.width, canvas.height);
  }
}
