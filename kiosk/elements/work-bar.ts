import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';

/** Work against standard as a bar: full at standard, hatched beyond it. `words` says the same for who cannot see it. */
@customElement('sh-work-bar')
export class WorkBar extends LitElement {
  static override styles = css`
    :host { display: block; }
    .track { position: relative; height: 34px; background: var(--sunken); border: 2px solid var(--ink-soft); border-radius: var(--radius); overflow: hidden; }
    .done { position: absolute; inset: 0 auto 0 0; background: var(--green-line); }
    .beyond { position: absolute; inset: 0 0 0 auto; background: repeating-linear-gradient(135deg, var(--yellow-fill) 0 8px, var(--yellow-ink) 8px 12px); }
  `;

  @property({ type: Number }) work = 0;
  @property({ type: Number }) standard = 0;
  @property() words = '';

  override render(): TemplateResult {
    const whole = Math.max(this.work, this.standard, 1);
    const done = Math.min(this.work, this.standard) / whole;
    const beyond = Math.max(0, this.work - this.standard) / whole;
    return html`<div class="track" role="img" aria-label=${this.words}>
      <div class="done" style="width: ${done * 100}%"></div>
      ${beyond > 0 ? html`<div class="beyond" style="width: ${beyond * 100}%"></div>` : nothing}
    </div>`;
  }
}
