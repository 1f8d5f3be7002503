import { html, nothing, svg, type SVGTemplateResult, type TemplateResult } from 'lit';

/** Where an instant lies on an axis that all rows of a table share, from 0 to 1. */
export interface SpanScale {
  from: number;
  to: number;
  /** Midnights between. */
  days: number[];
}

export interface Span {
  p10: number;
  p50: number;
  p90: number;
  promise: number | null;
}

const WIDTH = 260;
const HEIGHT = 26;

/**
 * The 10-90 % span of a forecast with its middle, drawn against the promise (the line across): what lies beyond the promise is filled and hatched, what
 * lies before it is outlined. `words` says the same.
 */
export function forecastSpan({ p10, p50, p90, promise }: Span, scale: SpanScale, words: string): TemplateResult {
  const x = (t: number): number => 2 + ((Math.min(scale.to, Math.max(scale.from, t)) - scale.from) / (scale.to - scale.from)) * (WIDTH - 4);
  const beyond = promise === null ? x(p90) : Math.min(x(p90), Math.max(x(p10), x(promise)));
  return html`<svg class="span" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label=${words} style="display: block; width: 100%; min-width: 160px; height: ${HEIGHT}px" preserveAspectRatio="none">
    <title>${words}</title>
    ${scale.days.map((day): SVGTemplateResult => svg`<line x1=${x(day)} x2=${x(day)} y1="0" y2=${HEIGHT} style="stroke: var(--rule); stroke-width: 1" />`)}
    <rect x=${x(p10)} y="6" width=${Math.max(2, x(p90) - x(p10))} height="14" style="fill: var(--grey-fill); stroke: var(--grey-line); stroke-width: 1.5" />
    ${x(p90) > beyond ? svg`<rect x=${beyond} y="6" width=${x(p90) - beyond} height="14" style="fill: var(--red-line)" />
      ${hatch(beyond, x(p90))}` : nothing}
    <line x1=${x(p50)} x2=${x(p50)} y1="3" y2="23" style="stroke: var(--ink); stroke-width: 3" />
    ${promise === null ? nothing : svg`<line x1=${x(promise)} x2=${x(promise)} y1="0" y2=${HEIGHT} style="stroke: var(--blue-line); stroke-width: 3; stroke-dasharray: 5 3" />`}
  </svg>`;
}

function hatch(from: number, to: number): SVGTemplateResult[] {
  const lines: SVGTemplateResult[] = [];
  for (let at = from + 4; at + 6 < to; at += 7) lines.push(svg`<line x1=${at} x2=${at + 6} y1="20" y2="6" style="stroke: var(--ground); stroke-width: 1.5" />`);
  return lines;
}
