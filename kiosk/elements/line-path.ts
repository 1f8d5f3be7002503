import { LitElement, css, html, nothing, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { STATES, shapeOf, type StateName } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import { layOutPath, type PathLayout, type PathPlace, type PlacedBox } from './path-layout.ts';
import { unitSideView } from './unit-side-view.ts';

export interface PathUnit {
  unit: string;
  href: string;
  /** Metres. */
  length: number;
  /** Minutes; null where none are told, such as in the yard. */
  work: number | null;
  standard: number;
  state: StateName;
}

export interface DrawnPlace extends PathPlace {
  state: StateName | null;
  units: PathUnit[];
}

/**
 * A line as a path through the halls. Each unit stands as far along its place as its work has come, hatched where it is
 * beyond standard. `places` in the order of the path; `longest` is the length in metres of the longest unit.
 */
@customElement('sh-line-path')
export class LinePath extends LitElement {
  static override styles = css`
    :host { display: block; }
    svg { display: block; width: 100%; overflow: visible; }
    text { fill: var(--ink); font-family: var(--font); font-variant-numeric: tabular-nums; }
    a:focus-visible { outline: 3px solid var(--focus); }
  `;

  @property({ attribute: false }) places: DrawnPlace[] = [];
  @property({ type: Number }) longest = 12;
  @state() private width = 0;
  private readonly observer = new ResizeObserver(([entry]) => { this.width = Math.floor(entry?.contentRect.width ?? 0); });

  override connectedCallback(): void {
    super.connectedCallback();
    this.observer.observe(this);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.observer.disconnect();
  }

  private get type(): number {
    return this.width > 1200 ? 22 : 16;
  }

  override render(): TemplateResult | typeof nothing {
    if (this.width === 0) return nothing;
    const type = this.type;
    const layout = layOutPath(this.places, { width: this.width, least: type * 9.5, lane: type * 4.4, head: type * 1.6, gap: type });
    const height = Math.max(layout.height, 1);
    return html`<svg viewBox="0 0 ${this.width} ${height}" height=${height} role="group">
      <defs><pattern id="beyond" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <rect width="8" height="8" fill="var(--surface)"/><rect width="4" height="8" fill="var(--yellow-line)"/></pattern></defs>
      ${this.rowNames(layout)}
      ${layout.boxes.map((box) => this.place(box))}
    </svg>`;
  }

  private rowNames(layout: PathLayout): SVGTemplateResult[] {
    return layout.rows.map((row) => svg`<text x=${row.leftward ? this.width : 0} y=${row.y - this.type * 0.4} font-size=${this.type}
      text-anchor=${row.leftward ? 'end' : 'start'}>${row.leftward ? `← ${row.area}` : `${row.area} →`}</text>`);
  }

  private place(box: PlacedBox): SVGTemplateResult | typeof nothing {
    const place = this.places.find((candidate) => candidate.code === box.code);
    if (!place) return nothing;
    const type = this.type;
    const lane = type * 4.4;
    const stopped = place.state === 'stopped';
    return svg`<g>
      <rect x=${box.x + 1} y=${box.y} width=${box.width - 2} height=${box.height} fill="var(--sunken)"
        stroke=${stopped ? 'var(--red-line)' : 'var(--rule)'} stroke-width=${stopped ? 4 : 1}/>
      <text x=${box.x + 8} y=${box.y + type * 1.2} font-size=${type} font-weight="700">${box.code}</text>
      ${place.state ? this.mark(place.state, box.x + 8, box.y + box.height - type * 0.5, place.units.length === 0 || stopped) : nothing}
      ${place.units.map((unit, index) => this.unit(unit, box, box.y + type * 1.6 + index * lane))}
    </g>`;
  }

  private unit(unit: PathUnit, box: PlacedBox, top: number): SVGTemplateResult {
    const type = this.type;
    const room = box.width - 12;
    const length = Math.min(room * 0.55, (unit.length / this.longest) * type * 5);
    const share = unit.work === null || unit.standard <= 0 ? 0 : unit.work / unit.standard;
    const along = (room - length) * Math.min(1, share);
    const x = box.x + 6 + (box.leftward ? room - length - along : along);
    const ground = top + type * 1.9;
    const beyond = Math.min(1, Math.max(0, share - 1)) * length;
    return svg`<a href=${unit.href} aria-label=${`${unit.unit}, ${t(STATES[unit.state].word)}`}>
      <rect x=${box.x + 4} y=${top} width=${box.width - 8} height=${type * 4.2} fill="transparent"/>
      <g style="color: var(--${STATES[unit.state].colour}-line)">${unitSideView(x, ground, length, type * 1.8, box.leftward)}</g>
      ${beyond > 0 ? svg`<rect x=${box.leftward ? x : x + length - beyond} y=${ground + 1} width=${beyond} height=${type * 0.25} fill="url(#beyond)"/>` : nothing}
      <text x=${box.x + 8} y=${top + type * 3.1} font-size=${type}>${unit.unit}</text>
      ${this.mark(unit.state, box.x + 8, top + type * 4.1, unit.state !== 'none')}
    </a>`;
  }

  private mark(name: StateName, x: number, y: number, shown: boolean): SVGTemplateResult | typeof nothing {
    if (!shown) return nothing;
    const look = STATES[name];
    const size = this.type * 0.8;
    return svg`<g style="color: var(--${look.colour}-line)" transform="translate(${x} ${y - size}) scale(${size / 20})">${shapeOf(look.shape)}</g>
      <text x=${x + size * 1.3} y=${y - 1} font-size=${this.type * (this.type > 20 ? 1 : 0.9)}>${t(look.word)}</text>`;
  }
}
