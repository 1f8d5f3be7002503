import { svg, type SVGTemplateResult } from 'lit';
import type { VisitMinuteState } from '../../server/core/timeline/visit.ts';
import { STATES } from '../styles/states.ts';

/** The states of a visit in the order in which a bar stacks them. */
export const STACKED: readonly VisitMinuteState[] = ['work', 'held', 'stopped', 'blocked', 'rollLag'];

/** A fill of each state that is told apart without its colour: plain, slanted, crossed, upright, dotted. The element's `svg` holds them once. */
export function statePatterns(): SVGTemplateResult {
  const line = (d: string): SVGTemplateResult => svg`<path d=${d} stroke="var(--ground)" stroke-width="1.6" fill="none" />`;
  const marks: Record<VisitMinuteState, SVGTemplateResult> = {
    work: svg``, held: line('M-2 10 10 -2M2 14 14 2'), stopped: line('M0 0 8 8M8 0 0 8'), blocked: line('M4 0V8'), rollLag: svg`<circle cx="4" cy="4" r="1.8" fill="var(--ground)" />`,
  };
  return svg`<defs>${STACKED.map((state) => svg`<pattern id=${`fill-${state}`} width="8" height="8" patternUnits="userSpaceOnUse">
    <rect width="8" height="8" fill=${`var(--${STATES[state].colour}-line)`} />${marks[state]}</pattern>`)}</defs>`;
}

export const fillOf = (state: VisitMinuteState): string => `url(#fill-${state})`;
