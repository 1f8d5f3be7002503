import { html, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import type { WordKey } from '../words/catalogue.ts';
import { t } from '../words/catalogue.ts';

export type StateColour = 'red' | 'yellow' | 'green' | 'blue' | 'grey';
export type StateShape = 'square' | 'diamond' | 'triangle' | 'circle' | 'ring' | 'bar' | 'octagon' | 'hatch';

/** Colour, shape and word of a state: never one without the others (IEC 60073 gives the colours). */
export interface StateLook {
  colour: StateColour;
  shape: StateShape;
  word: WordKey;
}

export const STATES = {
  work: { colour: 'green', shape: 'circle', word: 'state.work' },
  finished: { colour: 'green', shape: 'ring', word: 'state.finished' },
  held: { colour: 'yellow', shape: 'triangle', word: 'state.held' },
  blocked: { colour: 'yellow', shape: 'bar', word: 'state.blocked' },
  rollLag: { colour: 'blue', shape: 'diamond', word: 'state.rollLag' },
  stopped: { colour: 'red', shape: 'octagon', word: 'state.stopped' },
  overStandard: { colour: 'yellow', shape: 'hatch', word: 'state.overStandard' },
  starved: { colour: 'grey', shape: 'ring', word: 'state.starved' },
  idle: { colour: 'grey', shape: 'bar', word: 'state.idle' },
  offLine: { colour: 'yellow', shape: 'square', word: 'state.offLine' },
  late: { colour: 'red', shape: 'triangle', word: 'state.late' },
  atRisk: { colour: 'yellow', shape: 'diamond', word: 'state.atRisk' },
  inTime: { colour: 'green', shape: 'circle', word: 'state.inTime' },
  behind: { colour: 'yellow', shape: 'triangle', word: 'state.behind' },
  overdue: { colour: 'yellow', shape: 'triangle', word: 'state.overdue' },
  flagged: { colour: 'blue', shape: 'diamond', word: 'state.flagged' },
  shortCrew: { colour: 'yellow', shape: 'ring', word: 'state.shortCrew' },
  notFound: { colour: 'yellow', shape: 'diamond', word: 'state.notFound' },
  notLive: { colour: 'yellow', shape: 'square', word: 'state.notLive' },
  unsent: { colour: 'yellow', shape: 'diamond', word: 'state.unsent' },
  unchecked: { colour: 'yellow', shape: 'hatch', word: 'state.unchecked' },
  live: { colour: 'green', shape: 'circle', word: 'state.live' },
  none: { colour: 'grey', shape: 'square', word: 'state.none' },
} as const satisfies Record<string, StateLook>;

export type StateName = keyof typeof STATES;

/** The shape of a state inside a 20 × 20 box, to be placed in an `svg`. */
export function shapeOf(shape: StateShape): SVGTemplateResult {
  switch (shape) {
    case 'circle': return svg`<circle cx="10" cy="10" r="8" fill="currentColor"/>`;
    case 'ring': return svg`<circle cx="10" cy="10" r="6.5" fill="none" stroke="currentColor" stroke-width="3.5"/>`;
    case 'square': return svg`<rect x="3" y="3" width="14" height="14" fill="currentColor"/>`;
    case 'diamond': return svg`<path d="M10 1 19 10 10 19 1 10Z" fill="currentColor"/>`;
    case 'triangle': return svg`<path d="M10 2 19 18H1Z" fill="currentColor"/>`;
    case 'bar': return svg`<rect x="2" y="7" width="16" height="6" fill="currentColor"/>`;
    case 'octagon': return svg`<path d="M6.5 1.5h7l5 5v7l-5 5h-7l-5-5v-7Z" fill="currentColor"/>`;
    case 'hatch': return svg`<path d="M2 12 12 2M2 19 19 2M9 19 19 9" stroke="currentColor" stroke-width="3" fill="none"/>`;
  }
}

/** The mark of a state: its shape in its colour. The word stands beside it, see `stateTag`. */
export function stateMark(name: StateName): TemplateResult {
  const look = STATES[name];
  return html`<svg viewBox="0 0 20 20" width="1em" height="1em" aria-hidden="true"
    style="color: var(--${look.colour}-line); flex: none; vertical-align: -0.12em">${shapeOf(look.shape)}</svg>`;
}

/** Shape and word of a state on its own colour. */
export function stateTag(name: StateName): TemplateResult {
  const look = STATES[name];
  return html`<span class="state-tag" style="display: inline-flex; gap: 0.4em; align-items: center; padding: 0.1em 0.55em;
    border-radius: var(--radius); white-space: nowrap; background: var(--${look.colour}-fill); color: var(--${look.colour}-ink)">
    <svg viewBox="0 0 20 20" width="0.85em" height="0.85em" aria-hidden="true">${shapeOf(look.shape)}</svg>${t(look.word)}</span>`;
}
