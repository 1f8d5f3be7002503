import { LitElement, css, html, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { stateMark, type StateName } from '../styles/states.ts';

export interface HeadlinePart {
  state: StateName;
  words: string;
}

/**
 * What a supervisor has to know in five seconds: pace first, then what is stopped and who needs help. On a TV of 1.65 m width (75 inch) its
 * letters are 46 mm high, 16 minutes of arc at 10 m (ISO 9241-303, from memory). The slot `line-delay` stands under the pace.
 */
@customElement('sh-board-headline')
export class BoardHeadline extends LitElement {
  static override styles = css`
    :host { display: block; line-height: 1.12; font-weight: 700; font-size: 26px; }
    .line { display: flex; flex-wrap: wrap; gap: 0 0.7em; align-items: baseline; }
    .part { overflow-wrap: anywhere; }
    .detail { font-size: 0.55em; font-weight: 400; }
    ::slotted(*) { display: flex; flex-wrap: wrap; gap: 0 0.7em; font-size: 0.55em; font-weight: 400; line-height: 1.25; }
    @media (min-width: 901px) { :host { font-size: 40px; } }
    @media (min-width: 1800px) and (min-height: 900px) {
      :host { font-size: 74px; }
      /* One line each; what does not fit wraps out of sight as a whole, the gravest comes first. */
      .line { height: 1.14em; overflow: hidden; }
      ::slotted(*) { height: 1.25em; overflow: hidden; }
    }
  `;

  @property({ attribute: false }) pace: HeadlinePart | null = null;
  @property() detail = '';
  @property({ attribute: false }) parts: HeadlinePart[] = [];

  override render(): TemplateResult {
    return html`<div class="line">${this.pace ? part(this.pace) : ''}<span class="detail">${this.detail}</span></div>
      <slot name="line-delay"></slot>
      <div class="line">${this.parts.map(part)}</div>`;
  }
}

function part({ state, words }: HeadlinePart): TemplateResult {
  return html`<span class="part">${stateMark(state)} ${words}</span>`;
}
