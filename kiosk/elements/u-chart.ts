import { css, html, LitElement, nothing, svg, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { SizeController } from '../controllers/size.ts';
import type { ChartPoint } from '../../server/core/rates/control-limits.ts';

const LEFT = 52;
const RIGHT = 12;
const TOP = 24;
const HEIGHT = 230;
const FLOOR = HEIGHT - 30;

/** Defects per unit, week by week, between limits that are as wide as few units make them (u chart). A point outside is an octagon with its word. */
@customElement('sh-u-chart')
export class UChart extends LitElement {
  static override styles = css`
    :host { display: block; } svg { display: block; width: 100%; }
    text { font: 14px var(--font); fill: var(--ink); } .soft { fill: var(--ink-soft); }
    .band { fill: var(--sunken); } .limit { stroke: var(--ink-soft); stroke-dasharray: 6 5; } .centre { stroke: var(--ink-soft); }
    polyline { fill: none; stroke: var(--ink); stroke-width: 2; } circle { fill: var(--ink); } .outside { fill: var(--red-line); }
  `;

  /** A week without a point has no units. */
  @property({ attribute: false }) points: { label: string; point: ChartPoint | null }[] = [];
  @property({ attribute: false }) name = '';
  @property({ attribute: false }) outside = '';
  private readonly size = new SizeController(this, { width: 700, least: 280 });

  override render(): TemplateResult {
    const told = this.points.flatMap(({ point }, i) => (point ? [{ ...point, i }] : []));
    const most = Math.max(0.001, ...told.map(({ value, upper }) => Math.max(value, upper)));
    const step = (this.size.width - LEFT - RIGHT) / Math.max(1, this.points.length);
    const x = (i: number): number => LEFT + step * (i + 0.5);
    const y = (value: number): number => FLOOR - (value / most) * (FLOOR - TOP);
    const every = Math.max(1, Math.ceil(90 / step));
    return html`<svg viewBox="0 0 ${this.size.width} ${HEIGHT}" height=${HEIGHT} role="img" aria-label=${this.name}>
      ${told.map(({ i, lower, upper, centre }) => svg`<rect class="band" x=${x(i) - step / 2} width=${step} y=${y(upper)} height=${Math.max(0, y(lower) - y(upper))} />
        <path class="limit" d="M${x(i) - step / 2} ${y(upper)}h${step}M${x(i) - step / 2} ${y(lower)}h${step}" /><path class="centre" d="M${x(i) - step / 2} ${y(centre)}h${step}" />`)}
      ${[0, most].map((value) => svg`<text class="soft" text-anchor="end" x=${LEFT - 6} y=${y(value) + 5}>${value.toFixed(2)}</text>`)}
      <polyline points=${told.map(({ i, value }) => `${x(i)},${y(value)}`).join(' ')} />
      ${told.map(({ i, value, outside }) => (outside ? svg`<path class="outside" d="M${x(i) - 4} ${y(value) - 9}h8l5 5v8l-5 5h-8l-5-5v-8Z" /><text text-anchor="middle" x=${x(i)} y=${Math.max(14, y(value) - 14)}>${this.outside}</text>` : svg`<circle cx=${x(i)} cy=${y(value)} r="5" />`))}
      ${this.points.map(({ label }, i) => (i % every === 0 ? svg`<text class="soft" text-anchor="middle" x=${x(i)} y=${HEIGHT - 8}>${label}</text>` : nothing))}</svg>`;
  }
}
