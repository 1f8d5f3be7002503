import { svg, type SVGTemplateResult } from 'lit';
import { STATES, shapeOf, type StateName } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import type { PlacedBox } from './path-layout.ts';
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

/** Where a unit is drawn: its left end and its length, and how far it is beyond standard (0 to 1 of its length), in pixels. */
export interface UnitSpan {
  x: number;
  length: number;
  beyond: number;
}

/** `column` counts from 0 along the place; `longest` is the length in metres of the longest unit. */
export function spanOf(unit: PathUnit, box: PlacedBox, column: number, type: number, longest: number): UnitSpan {
  const cell = box.width / box.columns;
  const room = cell - type * 0.5;
  const left = box.x + column * cell + type * 0.25;
  const length = Math.min(room * 0.62, (unit.length / longest) * type * 4.6);
  const share = unit.work === null || unit.standard <= 0 ? 0 : unit.work / unit.standard;
  const along = (room - length) * Math.min(1, share);
  return { x: left + (box.leftward && box.columns === 1 ? room - length - along : along), length, beyond: Math.min(1, Math.max(0, share - 1)) };
}

/** A unit on its place: side view, serial below, and the state with its shape and word where it has one. `top` is the top of its lane. */
export function pathUnit(unit: PathUnit, box: PlacedBox, at: { column: number; top: number }, type: number, longest: number): SVGTemplateResult {
  const span = spanOf(unit, box, at.column, type, longest);
  const cell = box.width / box.columns;
  const left = box.x + at.column * cell;
  const ground = at.top + type * 2.05;
  const hatched = span.beyond * span.length;
  return svg`<a href=${unit.href} aria-label=${`${unit.unit}, ${t(STATES[unit.state].word)}`}>
    <rect x=${left + 2} y=${at.top} width=${cell - 4} height=${type * 3.1} fill="transparent"/>
    <g style="color: var(--${STATES[unit.state].colour}-line)">${unitSideView(span.x, ground, span.length, type * 1.9, box.leftward && box.columns === 1)}</g>
    ${hatched > 0 ? svg`<rect x=${box.leftward ? span.x : span.x + span.length - hatched} y=${ground - type * 1.9} width=${hatched} height=${type * 1.55} fill="url(#beyond)"/>` : ''}
    <text x=${left + type * 0.35} y=${at.top + type * 3.05} font-size=${type}>${unit.unit}</text>
    ${unit.state === 'none' ? '' : stateWord(unit.state, wordOf(unit), left + type * 0.35, at.top + type * 4.05, type)}
  </a>`;
}

/** Shape and word of a state; `y` is the line the word stands on. */
export function stateWord(name: StateName, word: string, x: number, y: number, type: number): SVGTemplateResult {
  const size = type * 0.85;
  return svg`<g style="color: var(--${STATES[name].colour}-line)" transform="translate(${x} ${y - size * 0.9}) scale(${size / 20})">${shapeOf(STATES[name].shape)}</g>
    <text x=${x + size * 1.25} y=${y} font-size=${type * 0.92}>${word}</text>`;
}

/** What fits below a unit: minutes beyond standard instead of the long name of that state. */
function wordOf({ state, work, standard }: PathUnit): string {
  if (state === 'overStandard') return t('path.over', { n: Math.round((work ?? 0) - standard) });
  return t(state === 'rollLag' ? 'path.rollLag' : STATES[state].word);
}
