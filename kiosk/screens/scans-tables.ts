import { html, nothing, type TemplateResult } from 'lit';
import type { ScansReply } from '../../server/contract/dwell.ts';
import { MARK_KINDS, type MarksQuery } from '../../server/contract/marks-query.ts';
import type { ReportPeriod } from '../../server/core/rates/report-period.ts';
import type { ScanMark } from '../../server/core/rates/scan-habits.ts';
import { marksPage } from '../data/report-paths.ts';
import { unitPath } from '../data/route.ts';
import { t } from '../words/catalogue.ts';
import { percent, wallTime, whole } from './report-parts.ts';

export interface ScansPlace {
  plant: string;
  line: string;
  period: ReportPeriod;
  timeZone: string;
}

/** A row for each station and shift: its share of good scans as a bar, and how many are marked how, each leading to them. */
export function scansTable({ plant, line, period }: ScansPlace, habits: ScansReply['habits']): TemplateResult {
  const link = (more: Partial<MarksQuery>, n: number): TemplateResult | string =>
    (n === 0 ? '0' : html`<a href=${marksPage(plant, line, { period: 'days', from: period.first, to: period.last, station: '', shift: '', kind: '', ...more })}>${whole(n)}</a>`);
  return html`<div class="table cards" tabindex="0" role="region" aria-label=${t('scans.title')}><table>
    <thead><tr><th scope="col">${t('scans.station')}, ${t('scans.shift')}</th><th scope="col" class="strip" colspan="2">${t('scans.goodShare')}</th><th scope="col" class="number">${t('scans.scans')}</th>
      ${MARK_KINDS.map((kind) => html`<th scope="col" class="number">${t(`scans.kind.${kind}`)}</th>`)}</tr></thead>
    <tbody>${habits.map(({ station, shift, scans, goodShare, marks }) => html`<tr class="habit"><th scope="row">${station} <small>${shift || t('report.noShift')}</small></th>
      <td class="strip"><span class="bar ${goodShare >= 0.95 ? 'good' : 'poor'}" style="width: ${goodShare * 100}%" aria-hidden="true"></span></td>
      <td class="number" data-head=${t('scans.goodShare')}>${percent(goodShare)}</td><td class="number" data-head=${t('scans.scans')}>${whole(scans)}</td>
      ${MARK_KINDS.map((kind) => html`<td class="number" data-head=${t(`scans.kind.${kind}`)}>${link({ station, shift: shift || '-', kind }, marks[kind])}</td>`)}</tr>`)}</tbody></table></div>`;
}

/** The marked scans, one a row; each leads to its unit. */
export function marksTable({ plant, timeZone }: ScansPlace, marks: readonly ScanMark[]): TemplateResult {
  return html`<div class="table cards" tabindex="0" role="region" aria-label=${t('scans.marks')}><table>
    <thead><tr><th scope="col">${t('dwell.unit')}</th><th scope="col">${t('scans.station')}</th><th scope="col">${t('scans.shift')}</th><th scope="col">${t('scans.kind')}</th><th scope="col">${t('scans.when')}</th><th scope="col">${t('scans.fact')}</th></tr></thead>
    <tbody>${marks.map(({ unit, station, shift, date, kind, at, fact }) => html`<tr class="mark"><th scope="row"><a href=${unitPath(plant, unit)}>${unit}</a></th><td data-head=${t('scans.station')}>${station}</td>
      <td data-head=${t('scans.shift')}>${shift || t('report.noShift')} ${date}</td><td data-head=${t('scans.kind')}>${t(`scans.kind.${kind}`)}</td>
      <td data-head=${t('scans.when')}>${at === null ? '–' : wallTime(timeZone, at)}</td><td data-head=${t('scans.fact')}><small>${fact ?? nothing}</small></td></tr>`)}</tbody></table></div>`;
}
