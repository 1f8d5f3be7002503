import { LitElement, css, html, nothing, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { SizeController } from '../controllers/size.ts';
import { STATES, shapeOf, type StateName } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import { FOOT, HEAD, TURN, layOutPath, typeThatFits, type PathLayout, type PathMeasures, type PathPlace, type PathStretch, type PlacedBox, type PlacedRow } from './path-layout.ts';
import { pathUnit, spanOf, stateWord, type PathUnit } from './path-unit.ts';
import { behindPlan, planFlag, type PlanMark } from './plan-mark.ts';

export interface DrawnPlace {
  code: string;
  minutes: number;
  /** Units that a bay or yard place has room for; 1 on a line. */
  columns: number;
  state: StateName | null;
  /** Whether it has fewer heads than its standard crew. */
  shortCrew: boolean;
  units: PathUnit[];
}

export interface DrawnStretch {
  title: string;
  area: string;
  line: boolean;
  joins: boolean;
  places: DrawnPlace[];
}

const SIZES = Array.from({ length: 45 }, (_, step) => 36 - step * 0.5);
const BESIDE_OTHERS = { narrow: 16, wide: 18 };

/**
 * The lines as one path through the halls. Each unit stands as far along its place as its work has come, hatched where it is beyond
 * standard; a flag stands where the plan would have the path empty to. With `fit` it writes as large as its own height allows.
 */
@customElement('sh-line-path')
export class LinePath extends LitElement {
  static override styles = css`
    :host { display: block; }
    svg { display: block; width: 100%; }
    text { fill: var(--ink); font-family: var(--font); font-variant-numeric: tabular-nums; }
    .code { paint-order: stroke; stroke: var(--sunken); stroke-width: 5px; stroke-linejoin: round; }
    .soft { fill: var(--ink-soft); }
    a:focus-visible { outline: 3px solid var(--focus); }
  `;

  @property({ attribute: false }) stretches: DrawnStretch[] = [];
  @property({ attribute: false }) mark: PlanMark | null = null;
  /** Metres of the longest unit. */
  @property({ type: Number }) longest = 12;
  @property({ type: Boolean }) fit = false;
  private readonly size = new SizeController(this);

  override render(): TemplateResult | typeof nothing {
    if (this.size.width === 0) return nothing;
    const stretches = this.stretches.map((stretch): PathStretch => ({ ...stretch, places: stretch.places.map(asLaidOut) }));
    const characters = Math.max(1, ...this.stretches.flatMap(({ places }) => places.flatMap(({ units }) => units.map(({ unit }) => unit.length))));
    const rest = { width: this.size.width, characters, mark: this.mark?.place ?? null };
    const type = this.fit ? typeThatFits(stretches, rest, this.size.height, SIZES) : this.size.width > 900 ? BESIDE_OTHERS.wide : BESIDE_OTHERS.narrow;
    return this.draw(layOutPath(stretches, { ...rest, type }), { ...rest, type });
  }

  private draw(layout: PathLayout, { type }: PathMeasures): TemplateResult {
    const height = Math.max(1, Math.ceil(layout.height));
    const drawn = new Map(this.stretches.flatMap(({ places }) => places.map((place) => [place.code, place])));
    const at = this.mark ? this.markX(this.mark, layout, drawn, type) : null;
    return html`<svg viewBox="0 0 ${this.size.width} ${height}" height=${height} role="group">
      <defs><pattern id="beyond" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <rect width="8" height="8" fill="var(--surface)"/><rect width="4" height="8" fill="var(--yellow-line)"/></pattern></defs>
      ${layout.areas.map((area) => svg`<rect x="1" y=${area.y + 1} width=${this.size.width - 2} height=${area.height - 2} rx="6" fill="var(--surface)" stroke="var(--rule)"/>
        <text class="soft" x=${this.size.width - type} y=${area.nameY} font-size=${type} font-weight="700" text-anchor="end">${area.name}</text>`)}
      ${layout.boxes.map((box) => ground(box, drawn.get(box.code)))}
      ${track(layout.rows, this.size.width, type)}
      ${this.mark && at !== null ? behindPlan(this.mark, layout, at.x, type) : nothing}
      ${layout.rows.map((row) => svg`<text x=${TURN * type} y=${row.titleY} font-size=${type}>${row.title}</text>`)}
      ${this.mark && at !== null ? planFlag(this.mark, layout.rows[at.row]!, at.x, this.size.width, type) : nothing}
      ${layout.boxes.map((box) => this.place(box, drawn.get(box.code), layout.rows[box.row]!.lane, type))}
    </svg>`;
  }

  private place(box: PlacedBox, place: DrawnPlace | undefined, lane: number, type: number): SVGTemplateResult | typeof nothing {
    if (!place) return nothing;
    const x = box.x + type * 0.35;
    return svg`<g><text class="code" x=${x} y=${box.y + type * 1.2} font-size=${type * 1.05} font-weight="700">${box.code}</text>
      ${place.state === 'stopped' ? octagon(box, type) : nothing}
      ${place.units.map((unit, index) => pathUnit(unit, box, { column: index % box.columns, top: box.y + type * HEAD + Math.floor(index / box.columns) * lane }, type, this.longest))}
      ${place.units.length === 0 && place.state ? stateWord(place.state, t(STATES[place.state].word), x, box.y + type * (HEAD + 4.05), type) : nothing}
      ${feetOf(place).map((name, line) => stateWord(name, t(name === 'shortCrew' ? 'path.shortCrew' : STATES[name].word), x, box.y + box.height - type * (0.4 + line * FOOT), type))}</g>`;
  }

  /** Behind the unit that the plan would still have on the line, or at the line's end. */
  private markX(mark: PlanMark, layout: PathLayout, drawn: Map<string, DrawnPlace>, type: number): { x: number; row: number } | null {
    const box = layout.boxes.find((candidate) => candidate.code === mark.place);
    if (!box) return null;
    const unit = drawn.get(mark.place)?.units.find((candidate) => candidate.unit === mark.unit);
    if (!unit) return { x: box.leftward === (mark.unit === null) ? box.x + 2 : box.x + box.width - 2, row: box.row };
    const span = spanOf(unit, box, 0, type, this.longest);
    return { x: box.leftward ? Math.min(box.x + box.width, span.x + span.length + 5) : Math.max(box.x, span.x - 5), row: box.row };
  }
}

function asLaidOut(place: DrawnPlace): PathPlace {
  const { code, minutes, columns, units } = place;
  return { code, minutes, columns, units: units.length, marked: units.some((unit) => unit.state !== 'none'), feet: feetOf(place).length };
}

/** States of the place written below its units, from the lowest line up; where no unit stands its own takes the place of the unit's. */
function feetOf(place: DrawnPlace): StateName[] {
  const own = place.units.length > 0 && place.state && wordsOwn(place) ? [place.state] : [];
  return place.shortCrew ? [...own, 'shortCrew'] : own;
}

/** Whether the place's own state is written on it: when no unit there says the same. */
function wordsOwn({ state, units }: DrawnPlace): boolean {
  return state !== null && !units.some((unit) => unit.state === state);
}

function ground(box: PlacedBox, place: DrawnPlace | undefined): SVGTemplateResult {
  const stopped = place?.state === 'stopped';
  const inset = stopped ? 3 : 1;
  return svg`<rect x=${box.x + inset} y=${box.y + inset - 1} width=${box.width - 2 * inset} height=${box.height - 2 * inset + 2} fill="var(--sunken)"
    stroke=${stopped ? 'var(--red-line)' : 'var(--rule)'} stroke-width=${stopped ? 5 : 1}/>`;
}

function octagon(box: PlacedBox, type: number): SVGTemplateResult {
  const size = type * 1.1;
  return svg`<g style="color: var(--red-line)" transform="translate(${box.x + box.width - size - 8} ${box.y + type * 0.25}) scale(${size / 20})">${shapeOf('octagon')}</g>`;
}

/** The way units go: along each row of a line, and round its end to the next. */
function track(rows: readonly PlacedRow[], width: number, type: number): SVGTemplateResult {
  let path = '';
  let before: PlacedRow | null = null;
  for (const row of rows) {
    if (!row.track) continue;
    const edge = row.leftward ? width - type * 0.3 : type * 0.3;
    if (before && row.joins) path += `H${edge}V${row.track.y}H${row.track.to}`;
    else path += `M${row.track.from} ${row.track.y}H${row.track.to}`;
    before = row;
  }
  return svg`<path d=${path} fill="none" stroke="var(--grey-line)" stroke-width=${Math.max(2, type * 0.12)} stroke-linejoin="round" opacity="0.55"/>`;
}
