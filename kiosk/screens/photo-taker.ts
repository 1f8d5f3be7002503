import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { PHOTO_SIDE } from '../../server/core/photos/jpeg.ts';
import { shrinkPhoto } from '../data/shrink-photo.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

/** The device's camera, or a picture it has. Fires `photo` with the shrunk JPEG as `detail`, null when it is taken away again. */
@customElement('sh-photo-taker')
export class PhotoTaker extends LitElement {
  static override styles = [base, css`
    :host { display: grid; gap: 10px; }
    video, img { width: 100%; max-height: 40vh; object-fit: contain; background: var(--sunken); border-radius: var(--radius); display: block; }
    .row { display: flex; flex-wrap: wrap; gap: 10px; }
    button, label { min-height: var(--touch); min-width: var(--touch); font-weight: 600; flex: 1 1 8em; }
    label { display: grid; place-content: center; text-align: center; border: 2px solid var(--ink-soft); border-radius: var(--radius); padding: 8px 14px; cursor: pointer; background: var(--surface); }
    label:focus-within { outline: 4px solid var(--focus); outline-offset: 2px; }
    input { position: absolute; opacity: 0; width: 1px; height: 1px; min-height: 0; padding: 0; border: 0; }
    p { margin: 0; padding: 10px; background: var(--yellow-fill); color: var(--yellow-ink); border-radius: var(--radius); font-weight: 700; }
  `];

  @state() private live = false;
  @state() private url: string | null = null;
  @state() private trouble = '';
  @query('video') private readonly video!: HTMLVideoElement | null;
  private stream: MediaStream | null = null;

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.close();
    if (this.url) URL.revokeObjectURL(this.url);
    this.url = null;
  }

  override render(): TemplateResult {
    return html`${this.trouble === '' ? nothing : html`<p role="alert">${this.trouble}</p>`}
      <video ?hidden=${!this.live} muted playsinline aria-label=${t('camera.picture')}></video>
      ${this.url ? html`<img src=${this.url} alt=${t('photo.photo')} />` : nothing}
      <div class="row">${this.live ? html`<button @click=${() => void this.taken(this.video!)}>${t('photo.shoot')}</button>`
        : this.url ? html`<button @click=${() => this.show(null)}>${t('photo.remove')}</button>`
          : html`<button @click=${() => void this.open()}>${t('photo.take')}</button>
            <label>${t('photo.choose')}<input type="file" accept="image/*" capture="environment" @change=${this.chosen} /></label>`}</div>`;
  }

  private async open(): Promise<void> {
    this.trouble = '';
    if (!('mediaDevices' in navigator)) return void (this.trouble = t('camera.plainHttp'));
    try {
      this.stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment', width: { ideal: PHOTO_SIDE } }, audio: false });
      if (!this.isConnected || !this.video) return this.close();
      this.video.srcObject = this.stream;
      await this.video.play();
      this.live = true;
    } catch (error) {
      this.close();
      this.trouble = t(error instanceof DOMException && error.name === 'NotAllowedError' ? 'camera.notAllowed' : 'camera.noCamera');
    }
  }

  private close(): void {
    for (const track of this.stream?.getTracks() ?? []) track.stop();
    this.stream = null;
    this.live = false;
  }

  private readonly chosen = (event: Event): void => {
    const [file] = (event.target as HTMLInputElement).files ?? [];
    if (file) void this.taken(file);
  };

  private async taken(picture: Blob | HTMLVideoElement): Promise<void> {
    try {
      this.show(await shrinkPhoto(picture));
      this.trouble = '';
    } catch {
      this.trouble = t('photo.notTaken');
    }
    this.close();
  }

  private show(blob: Blob | null): void {
    if (this.url) URL.revokeObjectURL(this.url);
    this.url = blob ? URL.createObjectURL(blob) : null;
    this.dispatchEvent(new CustomEvent<Blob | null>('photo', { detail: blob }));
  }
}
