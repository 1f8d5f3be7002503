import { css, html, LitElement, nothing, svg, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';

export interface ConstraintRow {
  label: string;
  station: string | null;
  turningPoint: boolean;
}

const WIDTH = 1_000;
const LEFT = 120;
const ROW = 34;
const TOP = 34;

/** The line from left to right, its stations as ticks, and period below period where its constraint stood. */
@customElement('sh-constraint-path')
export class ConstraintPath extends LitElement {
  static override styles = css`
    :host { display: block; }
    svg { display: block; width: 100%; min-width: 620px; }
    text { font: 15px var(--font); fill: var(--ink); }
    .code { font-size: 12px; fill: var(--ink-soft); }
    .line { stroke: var(--rule); stroke-width: 6; stroke-linecap: round; }
    .tick { stroke: var(--ground); stroke-width: 2; }
    .move { stroke: var(--ink); stroke-width: 2; stroke-dasharray: 4 4; fill: none; }
    .here { fill: var(--yellow-line); stroke: var(--ink); stroke-width: 2; }
  `;

  @property({ attribute: false }) stations: string[] = [];
  @property({ attribute: false }) rows: ConstraintRow[] = [];
  @property() words = '';

  override render(): TemplateResult | typeof nothing {
    if (this.stations.length === 0 || this.rows.length === 0) return nothing;
    const step = (WIDTH - LEFT - 40) / Math.max(1, this.stations.length - 1);
    const x = (station: string): number => LEFT + 20 + this.stations.indexOf(station) * step;
    const y = (i: number): number => TOP + ROW * i + ROW / 2;
    const stood = this.rows.flatMap(({ station }, i) => (station !== null && this.stations.includes(station) ? [{ station, i }] : []));
    return html`<svg viewBox="0 0 ${WIDTH} ${TOP + ROW * this.rows.length}" role="img" aria-label=${this.words}>
      ${[this.stations[0]!, this.stations.at(-1)!].map((code, i) => svg`<text class="code" text-anchor=${i === 0 ? 'start' : 'end'} x=${x(code) + (i === 0 ? -12 : 12)} y="20">${code}</text>`)}
      ${this.rows.map(({ label }, i) => svg`<text x="0" y=${y(i) + 5}>${label}</text><line class="line" x1=${LEFT + 8} x2=${WIDTH - 8} y1=${y(i)} y2=${y(i)} />
        ${this.stations.map((code) => svg`<line class="tick" x1=${x(code)} x2=${x(code)} y1=${y(i) - 3} y2=${y(i) + 3} />`)}`)}
      <polyline class="move" points=${stood.map(({ station, i }) => `${x(station)},${y(i)}`).join(' ')} />
      ${stood.map(({ station, i }) => svg`<path class="here" d="M${x(station)} ${y(i) - 11}l11 11-11 11-11-11Z" />
        <text x=${x(station) + (x(station) > WIDTH - 130 ? -16 : 16)} y=${y(i) + 5} text-anchor=${x(station) > WIDTH - 130 ? 'end' : 'start'} style="paint-order: stroke; stroke: var(--ground); stroke-width: 5px">${station}</text>`)}</svg>`;
  }
}
