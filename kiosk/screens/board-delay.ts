import { html, nothing, type TemplateResult } from 'lit';
import type { LineDelayReply, StationCost } from '../../server/contract/line-delay.ts';
import { stateMark, type StateName } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';

/** Causes named beside the figure; the dwell and delay screen has them all. */
const NAMED = 3;
const STATE_OF: Record<StationCost['kind'], StateName> = {
  hold: 'held', stop: 'stopped', calendar: 'stopped', overStandard: 'overStandard', underStandard: 'inTime', rollLag: 'rollLag',
  lateRelease: 'behind', earlyRelease: 'inTime', pulledOff: 'offLine',
};

/** How many minutes the line lost in the shift that runs, how many of them are still in the pipe, and whose they are (definitions §5). */
export function boardDelay(told: LineDelayReply | null): TemplateResult | typeof nothing {
  if (!told || told.lastUnit === null) return nothing;
  const n = (minutes: number): number => Math.round(minutes);
  const whose = told.costs.filter(({ lineMinutes }) => lineMinutes >= 0.5).slice(0, NAMED);
  return html`<div slot="line-delay"><b>${t('board.delay', { n: n(told.totalMinutes) })}</b>
    ${n(told.inPipeMinutes) < 0 ? t('board.delayMadeUp', { lost: n(told.lostMinutes), pipe: -n(told.inPipeMinutes) }) : t('board.delayParts', { lost: n(told.lostMinutes), pipe: n(told.inPipeMinutes) })}
    ${whose.map((cost) => html`<span class="whose">${stateMark(STATE_OF[cost.kind])} ${cost.station ?? ''} ${whoseWords(cost)} ${t('minutes.short', { n: n(cost.lineMinutes) })}</span>`)}</div>`;
}

export function whoseWords({ kind, reason }: Pick<StationCost, 'kind' | 'reason'>): string {
  return reason === '' ? t(`cause.${kind}`) : reasonText(reason);
}
