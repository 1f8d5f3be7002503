import { css, html, LitElement, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { unlikeMakeUp } from '../../server/core/gates/trailer-vin.ts';
import { vinFaults, vinIn } from '../../server/core/gates/vin.ts';
import type { VinMakeUp } from '../../server/core/setup/quality.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { faultText } from '../words/vin-faults.ts';

/** What is wrong with a VIN while it is typed, to the character; a VIN that is wrong may be stated all the same and is flagged. */
@customElement('sh-vin-hint')
export class VinHint extends LitElement {
  static override styles = [base, css`
    :host { display: block; } ul, p { margin: 6px 0 0; padding-inline-start: 0; list-style: none; }
    .signs { font-family: ui-monospace, monospace; font-size: 1.3em; letter-spacing: 0.15em; overflow-wrap: anywhere; }
    .wrong { background: var(--yellow-fill); color: var(--yellow-ink); font-weight: 700; text-decoration: underline; }
  `];

  @property() vin = '';
  @property() model = '';
  @property({ attribute: false }) makeUp: VinMakeUp | null = null;

  override render(): TemplateResult {
    const vin = vinIn(this.vin);
    if (vin === '') return html`<div role="status"></div>`;
    const faults = vinFaults(vin);
    const unlike = this.makeUp && faults.length === 0 ? unlikeMakeUp(this.makeUp, this.model, vin) : [];
    const marked = new Set([...faults.flatMap((fault) => ('position' in fault ? [fault.position] : [])), ...unlike.map(({ position }) => position)]);
    const said = [...faults.map(faultText), ...unlike.map((one) => t('vin.unlike', one))];
    return html`<p class="signs" aria-hidden="true">${[...vin].map((sign, i) => html`<span class=${marked.has(i + 1) ? 'wrong' : ''}>${sign}</span>`)}</p>
      <div role="status">${said.length === 0 ? html`<p>✔ ${t('vin.right')}</p>` : html`<ul>${said.map((text) => html`<li>⚠ ${text}</li>`)}</ul>`}</div>`;
  }
}
