import { html, nothing, type TemplateResult } from 'lit';
import type { VisitsQuery } from '../../server/contract/dwell-query.ts';
import type { DelayRow } from '../../server/core/rates/dwell-report.ts';
import { fillOf, STACKED, statePatterns } from '../elements/state-patterns.ts';
import '../elements/dwell-strip.ts';
import { t, type WordKey } from '../words/catalogue.ts';
import { behind, type DwellPlace } from './dwell-place.ts';
import { oneDecimal, whole } from './report-parts.ts';

const FIGURES: WordKey[] = ['dwell.median', 'dwell.visits', 'dwell.delayStation', 'dwell.delayLine', 'state.blocked', 'state.starved', 'dwell.leftOut'];

/** One row for each station, model, shift or week: its dwell drawn, station delay beside line delay, blocked and starved minutes, what was left out. */
export function rowsPart(place: DwellPlace): TemplateResult {
  const { rows, whole: all } = place.told;
  const most = Math.max(1, ...rows.map(({ dwell }) => Math.max(dwell?.p90 ?? 0, dwell?.mean ?? 0)));
  return html`<div class="legend" aria-hidden="true">${STACKED.map((state) => html`<span><svg width="26" height="16">${statePatterns()}<rect width="26" height="16" fill=${fillOf(state)} /></svg>${t(`state.${state}`)}</span>`)}
      <span class="soft">${t('dwell.legendBox')}</span></div>
    <div class="table cards" tabindex="0" role="region" aria-label=${t('dwell.rows')}><table>
      <thead><tr><th scope="col">${t(`dwell.by.${place.query.by}`)}</th><th scope="col" class="strip">${t('dwell.dwell')} <small>${t('dwell.scale', { n: whole(most) })}</small></th>
        ${FIGURES.map((word) => html`<th scope="col" class="number">${t(word)}</th>`)}</tr></thead>
      <tbody>${rows.map((row) => rowOf(place, row, most, nameOf(row)))}</tbody>
      ${rows.length > 1 ? html`<tfoot>${rowOf(place, all, most, t('dwell.whole'))}</tfoot>` : nothing}</table></div>`;
}

function rowOf(place: DwellPlace, row: DelayRow, most: number, name: string): TemplateResult {
  const own = figureOf(row);
  const link = (of: VisitsQuery['of'], words: string): TemplateResult => html`<a href=${behind(place, { ...own, of })}>${words}</a>`;
  const { blocked } = row.states;
  return html`<tr class="row"><th scope="row">${name}</th>
    <td class="strip"><sh-dwell-strip .row=${row} .most=${most} .words=${stripWords(row)}></sh-dwell-strip></td>
    <td class="number" data-head=${t('dwell.median')}>${row.dwell ? link('counted', oneDecimal(row.dwell.p50)) : nothing}</td>
    <td class="number" data-head=${t('dwell.visits')}>${link('counted', whole(row.visits))}</td>
    <td class="number" data-head=${t('dwell.delayStation')}>${row.stationDelay ? link('stationDelay', whole(row.stationDelay.sum)) : nothing}</td>
    <td class="number" data-head=${t('dwell.delayLine')}>${Math.abs(row.lineMinutes) < 0.05 ? whole(0) : link('lineDelay', whole(row.lineMinutes))}</td>
    <td class="number" data-head=${t('state.blocked')}>${blocked ? link('blocked', whole(blocked.sum)) : nothing}</td>
    <td class="number" data-head=${t('state.starved')}>${row.starved === null ? '–' : link('counted', whole(row.starved))}</td>
    <td class="number" data-head=${t('dwell.leftOut')}><div>${row.missed > 0 ? html`<div>${link('missed', t('dwell.missed', { n: row.missed }))}</div>` : nothing}
      ${row.provisional > 0 ? html`<div>${link('provisional', t('dwell.open', { n: row.provisional }))}</div>` : nothing}</div></td></tr>`;
}

/** What of the row a list of visits is narrowed to. A row of no one station or model stays as wide as the report. */
function figureOf({ station, model, shift, week }: DelayRow): Partial<VisitsQuery> {
  return { ...(station ? { station } : {}), ...(model ? { model } : {}), ...(shift ? { shift } : {}), ...(week ? { week } : {}) };
}

function nameOf({ station, model, shift, week }: DelayRow): string {
  const parts = [station === '' ? t('report.noStation') : station, model === '' ? t('report.noModel') : model, shift === '' ? t('report.noShift') : shift, week];
  return parts.filter((part) => part !== null).join(' · ');
}

function stripWords({ dwell, states }: DelayRow): string {
  if (!dwell) return '';
  const split = STACKED.map((state) => `${t(`state.${state}`)} ${oneDecimal(states[state]?.mean ?? 0)}`).join(', ');
  const { p10, p25, p50, p75, p90, mean } = dwell;
  return t('dwell.strip', { p10: oneDecimal(p10), p25: oneDecimal(p25), p50: oneDecimal(p50), p75: oneDecimal(p75), p90: oneDecimal(p90), mean: oneDecimal(mean), states: split });
}
