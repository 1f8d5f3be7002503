import { css, html, LitElement, type PropertyValues, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { SizeController } from '../controllers/size.ts';

/** A stretch on the axis: its look is one of the state colours, its words say the same. */
export interface AxisBar {
  from: number;
  to: number;
  colour: 'green' | 'yellow' | 'red' | 'blue' | 'grey';
  words: string;
}

export interface AxisRow {
  label: string;
  bars: AxisBar[];
}

const ROW = 30;
const LABEL = 78;
const TOP = 26;

/** Rows of stretches over one time axis. `tick` writes an instant below the top edge. Drawn as wide as the element. */
@customElement('sh-time-axis')
export class TimeAxis extends LitElement {
  static override styles = css`
    :host { display: block; }
    svg { display: block; width: 100%; }
    text { font: 15px var(--font); fill: var(--ink); }
    .soft { fill: var(--ink-soft); }
    line { stroke: var(--rule); }
  `;

  @property({ attribute: false }) rows: AxisRow[] = [];
  @property({ attribute: false }) tick: (instant: number) => string = String;
  private readonly size = new SizeController(this, { width: 800, least: 280 });

  override shouldUpdate(_: PropertyValues): boolean {
    return this.rows.length > 0;
  }

  override render(): TemplateResult {
    const bars = this.rows.flatMap((row) => row.bars);
    const from = Math.min(...bars.map((bar) => bar.from));
    const to = Math.max(...bars.map((bar) => bar.to), from + 1);
    const x = (t: number): number => LABEL + ((t - from) / (to - from)) * (this.size.width - LABEL - 4);
    const ticks = Math.max(1, Math.floor((this.size.width - LABEL) / 260));
    const height = TOP + this.rows.length * ROW;
    const at = Array.from({ length: ticks + 1 }, (_, i) => from + ((to - from) * i) / ticks);
    return html`<svg viewBox="0 0 ${this.size.width} ${height}" height=${height} role="img" aria-label=${this.rows.map((row) => `${row.label}: ${[...new Set(row.bars.map((bar) => bar.words))].join(', ')}`).join('; ')}>
      ${at.map((t, i) => svg`<line x1=${x(t)} x2=${x(t)} y1=${TOP - 6} y2=${height} /><text class="soft" x=${x(t)} y="14" text-anchor=${i === ticks ? 'end' : 'middle'}>${this.tick(t)}</text>`)}
      ${this.rows.map((row, i) => this.row(row, TOP + i * ROW, x))}</svg>`;
  }

  private row(row: AxisRow, y: number, x: (t: number) => number): SVGTemplateResult {
    return svg`<text x="0" y=${y + 20}>${row.label}</text>
      ${row.bars.map((bar) => svg`<rect x=${x(bar.from)} y=${y + 5} width=${Math.max(2, x(bar.to) - x(bar.from))} height="20" style="fill: var(--${bar.colour}-line)"><title>${bar.words}</title></rect>`)}`;
  }
}
