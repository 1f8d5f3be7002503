import { css, html, LitElement, nothing, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { SizeController } from '../controllers/size.ts';
import type { IndividualsChart, Limits } from '../../server/core/rates/control-limits.ts';

const LEFT = 58;
const RIGHT = 96;
const VALUES = { top: 16, height: 170 };
const RANGES = { top: 226, height: 80 };
const HEIGHT = 340;

/** Words beside the lines of the chart. */
export interface ChartWords {
  centre: string;
  upper: string;
  lower: string;
  ranges: string;
  outside: string;
  all: string;
}

/** Individuals above, moving range below (NIST/SEMATECH e-Handbook 6.3.2.2). A point outside its limits is an octagon with its word. */
@customElement('sh-control-chart')
export class ControlChart extends LitElement {
  static override styles = css`
    :host { display: block; }
    svg { display: block; width: 100%; }
    text { font: 14px var(--font); fill: var(--ink); }
    .soft { fill: var(--ink-soft); }
    .limit { stroke: var(--ink-soft); stroke-dasharray: 6 5; }
    .centre { stroke: var(--ink-soft); }
    polyline { fill: none; stroke: var(--ink); stroke-width: 2; }
    circle { fill: var(--ink); }
    .outside { fill: var(--red-line); }
  `;

  @property({ attribute: false }) chart: IndividualsChart | null = null;
  @property({ attribute: false }) labels: string[] = [];
  @property({ attribute: false }) words: ChartWords | null = null;
  private readonly size = new SizeController(this, { width: 700, least: 300 });

  override render(): TemplateResult | typeof nothing {
    const { chart, words } = this;
    if (!chart || !words) return nothing;
    const values = chart.points.map(({ value, outside }) => ({ value, outside }));
    const ranges = chart.points.map(({ movingRange, rangeOutside }) => ({ value: movingRange, outside: rangeOutside }));
    // A label takes its room: on a narrow page every second or third week has one.
    const every = Math.max(1, Math.ceil(this.labels.length / Math.max(1, (this.size.width - LEFT - RIGHT) / 70)));
    return html`<svg viewBox="0 0 ${this.size.width} ${HEIGHT}" height=${HEIGHT} role="img" aria-label=${words.all}>
      ${this.band(values, chart.values, VALUES, words)}
      <text class="soft" x="0" y=${RANGES.top - 12}>${words.ranges}</text>
      ${this.band(ranges, { ...chart.ranges, lower: Number.NaN }, RANGES, words)}
      ${this.labels.map((label, i) => (i % every === 0 ? svg`<text class="soft" text-anchor="middle" x=${this.x(i)} y=${HEIGHT - 8}>${label}</text>` : nothing))}</svg>`;
  }

  private x(i: number): number {
    const points = Math.max(1, this.labels.length - 1);
    return LEFT + 14 + (i / points) * (this.size.width - LEFT - RIGHT - 28);
  }

  private band(points: { value: number | null; outside: boolean }[], { centre, lower, upper }: Limits, { top, height }: typeof VALUES, words: ChartWords): SVGTemplateResult {
    const told = points.flatMap(({ value, outside }, i) => (value === null ? [] : [{ value, outside, i }]));
    const all = [...told.map(({ value }) => value), centre, upper, ...(Number.isNaN(lower) ? [0] : [lower])];
    const [least, most] = [Math.min(...all), Math.max(...all)];
    const y = (value: number): number => top + height - ((value - least) / (most - least || 1)) * height;
    const line = (value: number, name: string, word: string): SVGTemplateResult => svg`<line class=${name} x1=${LEFT} x2=${this.size.width - RIGHT} y1=${y(value)} y2=${y(value)} />
      <text class="soft" text-anchor="end" x=${LEFT - 6} y=${y(value) + 5}>${value.toFixed(1)}</text><text class="soft" x=${this.size.width - RIGHT + 6} y=${y(value) + 5}>${word}</text>`;
    return svg`${line(upper, 'limit', words.upper)}${upper - centre > 1e-9 ? line(centre, 'centre', words.centre) : nothing}
      ${Number.isNaN(lower) || centre - lower < 1e-9 ? nothing : line(lower, 'limit', words.lower)}
      <polyline points=${told.map(({ value, i }) => `${this.x(i)},${y(value)}`).join(' ')} />
      ${told.map(({ value, outside, i }) => (outside ? this.outside(this.x(i), y(value), words) : svg`<circle cx=${this.x(i)} cy=${y(value)} r="4.5" />`))}`;
  }

  private outside(x: number, y: number, words: ChartWords): SVGTemplateResult {
    return svg`<path class="outside" d="M${x - 4} ${y - 9}h8l5 5v8l-5 5h-8l-5-5v-8Z" /><text text-anchor="middle" x=${x} y=${y < 30 ? y + 26 : y - 13}>${words.outside}</text>`;
  }
}
