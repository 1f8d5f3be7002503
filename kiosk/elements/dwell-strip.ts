import { css, html, LitElement, nothing, svg, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { DelayRow } from '../../server/core/rates/dwell-report.ts';
import { fillOf, STACKED, statePatterns } from './state-patterns.ts';

const WIDTH = 400;
const BOX = { top: 4, height: 16 };
const BAR = { top: 26, height: 14 };

/**
 * One row's dwell on a scale of minutes from 0 to `most`: above, box and whiskers (10, 25, 50, 75, 90 of 100 visits); below, the mean visit split
 * into its states. `words` say the same.
 */
@customElement('sh-dwell-strip')
export class DwellStrip extends LitElement {
  static override styles = css`
    :host { display: block; min-width: 150px; }
    svg { display: block; width: 100%; height: 42px; overflow: hidden; }
    .whisker { stroke: var(--ink); stroke-width: 2; vector-effect: non-scaling-stroke; }
    .box { fill: var(--sunken); stroke: var(--ink); stroke-width: 2; vector-effect: non-scaling-stroke; }
    .median { stroke: var(--ink); stroke-width: 4; vector-effect: non-scaling-stroke; }
  `;

  @property({ attribute: false }) row: DelayRow | null = null;
  @property({ type: Number }) most = 1;
  @property() words = '';

  override render(): TemplateResult | typeof nothing {
    const dwell = this.row?.dwell;
    if (!this.row || !dwell) return nothing;
    const x = (minutes: number): number => Math.min(1, minutes / this.most) * WIDTH;
    const middle = BOX.top + BOX.height / 2;
    let from = 0;
    const bars = STACKED.map((state) => {
      const mean = this.row!.states[state]?.mean ?? 0;
      const start = from;
      from += mean;
      return svg`<rect x=${x(start)} y=${BAR.top} width=${Math.max(0, x(from) - x(start))} height=${BAR.height} fill=${fillOf(state)} />`;
    });
    return html`<svg viewBox="0 0 ${WIDTH} 42" preserveAspectRatio="none" role="img" aria-label=${this.words}>${statePatterns()}
      <line class="whisker" x1=${x(dwell.p10)} x2=${x(dwell.p90)} y1=${middle} y2=${middle} />
      ${[dwell.p10, dwell.p90].map((end) => svg`<line class="whisker" x1=${x(end)} x2=${x(end)} y1=${BOX.top + 3} y2=${BOX.top + BOX.height - 3} />`)}
      <rect class="box" x=${x(dwell.p25)} y=${BOX.top} width=${Math.max(1, x(dwell.p75) - x(dwell.p25))} height=${BOX.height} />
      <line class="median" x1=${x(dwell.p50)} x2=${x(dwell.p50)} y1=${BOX.top} y2=${BOX.top + BOX.height} />
      ${bars}</svg>`;
  }
}
