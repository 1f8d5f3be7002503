import { css, html, LitElement, nothing, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Drawing, Spot } from '../../server/core/facts/quality-facts.ts';

export interface SpotMark {
  spot: Spot;
  /** Number or letter in the mark. */
  label: string;
  /** Drawn as an octagon, else as a triangle. */
  grave: boolean;
}

const WIDTH = 300;
const HEIGHT = 130;
const STEP = 0.02;
const ARROWS: Record<string, [number, number]> = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, -STEP], ArrowDown: [0, STEP] };

/**
 * A unit from one side or from above, its front to the left, with marks where something is. `pointing`: a touch on it, or the arrow keys, fires
 * `spot` with the place as `detail`.
 */
@customElement('sh-unit-drawing')
export class UnitDrawing extends LitElement {
  static override styles = css`
    :host { display: block; }
    svg { box-sizing: border-box; display: block; width: 100%; background: var(--surface); border: 2px solid var(--rule); border-radius: var(--radius); color: var(--ink-soft); touch-action: manipulation; }
    svg[tabindex] { cursor: crosshair; border-color: var(--blue-line); }
    svg:focus-visible { outline: 4px solid var(--focus); outline-offset: 2px; }
    text { font: 700 11px var(--font); }
  `;

  @property({ attribute: false }) drawing: Drawing = 'road';
  @property({ attribute: false }) marks: SpotMark[] = [];
  @property({ attribute: false }) name = '';
  @property({ type: Boolean }) pointing = false;

  override render(): TemplateResult {
    const marks = this.marks.filter(({ spot }) => spot.drawing === this.drawing);
    return html`<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role=${this.pointing ? 'application' : 'img'} aria-label=${this.name} tabindex=${this.pointing ? '0' : nothing}
      @click=${this.touched} @keydown=${this.moved}>${this.outline()}${marks.map((mark) => this.mark(mark))}</svg>`;
  }

  private outline(): SVGTemplateResult {
    const body = svg`<path d="M30 104V30q0-12 12-12H284q6 0 6 6V104Z" fill="var(--sunken)" /><path d="M30 104H6" stroke-width="4" />`;
    const wheels = svg`<circle cx="165" cy="106" r="13" fill="var(--surface)" /><circle cx="196" cy="106" r="13" fill="var(--surface)" />`;
    const inside = this.drawing === 'plan'
      ? svg`<path d="M34 20H286V110H34ZM34 20 22 65 34 110M22 65H4" fill="var(--sunken)" /><path d="M110 20V66M200 110V72M200 72H240M110 88V110M150 110a18 18 0 0 1 18-18" /><path d="M34 20H96V48H34ZM236 20H286V58H236Z" fill="var(--surface)" />`
      : this.drawing === 'door'
        ? svg`${body}<path d="M222 34H254V104H222ZM246 70v6" fill="var(--surface)" /><path d="M60 36H110V62H60ZM140 36H190V62H140Z" fill="var(--surface)" />${wheels}`
        : svg`${body}<path d="M96 30H232V92H96Z" fill="var(--surface)" stroke-dasharray="5 4" /><path d="M118 40H164V62H118ZM48 40H80V62H48ZM246 40H276V58H246Z" fill="var(--surface)" />${wheels}`;
    return svg`<g fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round">${inside}</g>`;
  }

  private mark({ spot, label, grave }: SpotMark): SVGTemplateResult {
    const [x, y] = [spot.x * WIDTH, spot.y * HEIGHT];
    const shape = grave ? 'M-5-12h10l7 7v10l-7 7h-10l-7-7v-10Z' : 'M0-15 14 11H-14Z';
    const colour = grave ? 'red' : 'yellow';
    return svg`<g transform="translate(${x} ${y})"><path d=${shape} stroke="var(--surface)" stroke-width="1.5" style="fill: var(--${colour}-fill)" />
      <text text-anchor="middle" y=${grave ? 4 : 7} style="fill: var(--${colour}-ink)">${label}</text></g>`;
  }

  private readonly touched = (event: MouseEvent): void => {
    if (!this.pointing) return;
    const box = (event.currentTarget as SVGElement).getBoundingClientRect();
    // A press of Enter clicks nowhere.
    if (event.detail === 0 && event.clientX === 0) return;
    this.tell((event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
  };

  private readonly moved = (event: KeyboardEvent): void => {
    const arrow = ARROWS[event.key];
    if (!this.pointing || !arrow) return;
    event.preventDefault();
    const before = this.marks.findLast(({ spot }) => spot.drawing === this.drawing)?.spot ?? { x: 0.5, y: 0.5 };
    this.tell(before.x + arrow[0], before.y + arrow[1]);
  };

  private tell(x: number, y: number): void {
    const share = (value: number): number => Math.round(Math.min(1, Math.max(0, value)) * 1_000) / 1_000;
    this.dispatchEvent(new CustomEvent<Spot>('spot', { detail: { drawing: this.drawing, x: share(x), y: share(y) } }));
  }
}
