import { svg, type SVGTemplateResult } from 'lit';
import { LABEL, type PathLayout, type PlacedRow } from './path-layout.ts';

/** The plan on the path: what lies between `place` and the line's last place should have left by now. */
export interface PlanMark {
  /** Code of the place it stands at, and of the last place of the line. */
  place: string;
  end: string;
  /** The unit it stands behind, or null: at the end of the line, nobody is behind. */
  unit: string | null;
  behind: boolean;
  words: string;
  /** The same for a page too narrow for `words`. */
  short: string;
}

/** The stretch of path that is behind the plan, hatched, to lie under the units. */
export function behindPlan(mark: PlanMark, layout: PathLayout, x: number, type: number): SVGTemplateResult[] {
  const [from, to] = [rowOf(layout, mark.place), rowOf(layout, mark.end)];
  if (!mark.behind || from < 0 || to < 0) return [];
  return layout.rows.slice(from, to + 1).flatMap((row, index) => {
    if (!row.track) return [];
    const start = index === 0 ? x : row.track.from;
    return [svg`<rect x=${Math.min(start, row.track.to)} y=${row.track.y - type * 0.35} width=${Math.abs(row.track.to - start)} height=${type * 0.5} fill="url(#beyond)"/>`];
  });
}

/** A pole from the path up with a flag and the words beside it, turned so that they stay on the page. */
export function planFlag(mark: PlanMark, row: PlacedRow, x: number, width: number, type: number): SVGTemplateResult {
  const top = row.y - LABEL * type * 0.95;
  const left = x > width / 2;
  const room = (left ? x : width - x) - type * 1.5;
  // Bold figures are up to 0.7 wide.
  const words = mark.words.length * 0.7 * type <= room ? mark.words : mark.short;
  const colour = mark.behind ? 'yellow' : 'green';
  const flag = left ? -type * 1.1 : type * 1.1;
  return svg`<g class="plan" style="color: var(--${colour}-line)">
    <path d=${`M${x} ${row.track?.y ?? row.y + row.height}V${top}l${flag} ${type * 0.42}L${x} ${top + type * 0.85}`} fill="currentColor" stroke="currentColor" stroke-width=${Math.max(3, type * 0.16)}/>
    <text x=${x + flag * 1.3} y=${top + type * 0.85} font-size=${type} font-weight="700" text-anchor=${left ? 'end' : 'start'}>${words}</text></g>`;
}

function rowOf(layout: PathLayout, code: string): number {
  return layout.boxes.find((box) => box.code === code)?.row ?? -1;
}
