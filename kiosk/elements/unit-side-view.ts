import { svg, type SVGTemplateResult } from 'lit';

/**
 * A towable unit from the side, `length` wide and `height` high, its left bottom corner at (x, y): body, door, window,
 * wheels, and the hitch at the end it moves towards.
 */
export function unitSideView(x: number, y: number, length: number, height: number, leftward: boolean): SVGTemplateResult {
  const hitch = length * 0.14;
  const wheel = height * 0.13;
  const floor = y - wheel * 1.4;
  const top = y - height;
  const body = length - hitch;
  const turn = leftward ? `translate(${x * 2 + length} 0) scale(-1 1)` : '';
  return svg`<g transform=${turn} stroke="currentColor" stroke-width="2" stroke-linejoin="round">
    <path d=${`M${x} ${floor}V${top + 4}q0-4 4-4H${x + body * 0.9}L${x + body} ${top + height * 0.35}V${floor}Z`} fill="var(--surface)"/>
    <path d=${`M${x + body} ${floor}H${x + length}`} fill="none" stroke-width="3"/>
    <rect x=${x + body * 0.52} y=${top + height * 0.24} width=${body * 0.14} height=${floor - top - height * 0.26} fill="none"/>
    <rect x=${x + body * 0.12} y=${top + height * 0.24} width=${body * 0.28} height=${height * 0.22} fill="var(--sunken)"/>
    <circle cx=${x + body * 0.36} cy=${y - wheel} r=${wheel} fill="currentColor"/>
    <circle cx=${x + body * 0.36 + wheel * 2.6} cy=${y - wheel} r=${wheel} fill="currentColor"/>
  </g>`;
}
