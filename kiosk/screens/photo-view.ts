import { css, html, LitElement, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { PhotoBox } from '../data/photo-box.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

/** A kept photo, small; a touch shows it large. */
@customElement('sh-photo-view')
export class PhotoView extends LitElement {
  static override styles = [base, css`
    :host { display: inline-block; max-width: 100%; }
    button { padding: 0; border: 2px solid var(--rule); background: none; min-height: 76px; min-width: 76px; }
    img { display: block; height: 76px; max-width: 100%; object-fit: cover; border-radius: var(--radius); }
    .large img { height: auto; width: 100%; max-height: 80vh; object-fit: contain; }
    .large { width: 100%; }
    p { margin: 0; color: var(--ink-soft); }
  `];

  @property({ attribute: false }) box: PhotoBox | null = null;
  @property({ attribute: false }) photo = '';
  @state() private url: string | null = null;
  @state() private missing = false;
  @state() private large = false;
  private read = '';

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    if (this.url) URL.revokeObjectURL(this.url);
    this.url = null;
    this.read = '';
  }

  override willUpdate(): void {
    if (!this.box || this.read === this.photo) return;
    this.read = this.photo;
    const wanted = this.photo;
    void this.box.read(wanted).catch(() => null).then((blob) => {
      if (wanted !== this.photo || !this.isConnected) return;
      this.missing = blob === null;
      if (blob) this.url = URL.createObjectURL(blob);
    });
  }

  override render(): TemplateResult {
    if (!this.url) return html`<p>${t(this.missing ? 'photo.missing' : 'app.loading')}</p>`;
    return html`<button class=${this.large ? 'large' : ''} aria-label=${t(this.large ? 'photo.smaller' : 'photo.larger')} @click=${() => (this.large = !this.large)}><img src=${this.url} alt=${t('photo.photo')} /></button>`;
  }
}
