import { css, html, LitElement, nothing, svg, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';

const WIDTH = 400;
const HEIGHT = 34;

/**
 * One row of a Pareto chart lying on its side: the bar against the largest, hatched where it belongs to the vital few, and the line of the shares
 * together, from the row above (`above`, null in the first) to this one. The row's figures say the same, so it is left out for who cannot see it.
 */
@customElement('sh-pareto-bar')
export class ParetoBar extends LitElement {
  static override styles = css`
    :host { display: block; min-width: 150px; margin: -5px 0; }
    svg { display: block; width: 100%; height: ${HEIGHT}px; overflow: visible; }
    .bar { fill: var(--ink-soft); }
    .hatch { stroke: var(--ground); stroke-width: 2; }
    .together { stroke: var(--blue-line); stroke-width: 2; vector-effect: non-scaling-stroke; }
    .mark { fill: var(--blue-line); }
    /* Rows stand apart as cards there: the line would cross their words. */
    @media (max-width: 800px) { .together { display: none; } }
  `;

  @property({ type: Number }) share = 0;
  @property({ attribute: false }) above: number | null = null;
  @property({ type: Number }) cumulative = 0;
  @property({ type: Boolean }) vital = false;

  override render(): TemplateResult {
    const x = this.cumulative * (WIDTH - 10);
    return html`<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none" aria-hidden="true">
      <defs><pattern id="few" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" class="bar" /><path class="hatch" d="M-2 10 10 -2M2 14 14 2" /></pattern></defs>
      <rect class="bar" style=${this.vital ? 'fill: url(#few)' : ''} x="0" y="8" width=${Math.max(2, this.share * (WIDTH - 10))} height="18" />
      ${this.above === null ? nothing : svg`<line class="together" x1=${this.above * (WIDTH - 10)} y1=${-HEIGHT / 2} x2=${x} y2=${HEIGHT / 2} />`}
      <path class="mark" d="M${x} ${HEIGHT / 2 - 6}l6 6-6 6-6-6Z" /></svg>`;
  }
}
