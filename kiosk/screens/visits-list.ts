import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { VisitsReply } from '../../server/contract/dwell.ts';
import { readDwellQuery, readVisitsQuery, type VisitsQuery, writeVisitsQuery } from '../../server/contract/dwell-query.ts';
import type { VisitBehind } from '../../server/core/rates/visits-behind.ts';
import { ReportController } from '../controllers/report.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { dwellPage, linePath } from '../data/report-paths.ts';
import { type ScreenParams, unitPath } from '../data/route.ts';
import { STACKED } from '../elements/state-patterns.ts';
import { reportStyles } from '../styles/report.styles.ts';
import { stateMark } from '../styles/states.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';
import { fileButtons, oneDecimal, periodText, wallTime, whole } from './report-parts.ts';

/** The visits behind a figure of dwell and delay; each leads to its unit. */
@customElement('sh-visits-list')
export class VisitsList extends LitElement {
  static override styles = [base, reportStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @property() line = '';
  @state() private fileProblem = '';
  private readonly report = new ReportController<VisitsReply>(this, () => (this.store && this.line !== '' ? `${this.path}?${writeVisitsQuery(this.asked)}` : null));

  private get asked(): VisitsQuery {
    return readVisitsQuery(this.params?.query ?? {}).query;
  }

  private get path(): string {
    return `${linePath(this.store?.plant ?? '', this.line)}/dwell/visits`;
  }

  override render(): TemplateResult {
    const { asked, report: { told, asking, problem, away } } = this;
    const { of, station, model, shift, week, kind, reason } = asked;
    const cause = kind === '' ? '' : `: ${t(`cause.${kind}`)} ${reasonText(reason)}`;
    const back = dwellPage(this.store?.plant ?? '', this.line, { ...readDwellQuery({}).query, period: asked.period, from: asked.from, to: asked.to });
    return html`<p><a href=${back}>← ${t('report.back')}</a></p>
      <h1><b>${t('dwell.behind')}</b>: ${t(`dwell.behind.${of}`)}${cause}. ${[station, model, shift, week].filter((part) => part !== '').join(' · ')}</h1>
      ${told ? html`<p class="soft">${periodText(told.period)}. ${t('dwell.visitCount', { n: whole(told.count) })}. ${told.count > told.visits.length ? t('report.first', { n: whole(told.visits.length), count: whole(told.count) }) : nothing}</p>` : nothing}
      <div class="filters">${fileButtons(this.path, writeVisitsQuery(asked), (what) => (this.fileProblem = what))}</div>
      ${[this.fileProblem, problem].map((what) => (what === '' ? nothing : html`<p class="wrong" role="alert">✖ ${what}</p>`))}
      ${away ? html`<p class="note" role="alert">⚠ ${t('app.noServer')}</p>` : nothing}
      ${!told ? (asking ? html`<p role="status">${t('report.telling')}</p>` : nothing) : told.count === 0 ? html`<p>${t('dwell.noVisits')}</p>` : this.table(told)}`;
  }

  private table({ visits, timeZone }: VisitsReply): TemplateResult {
    const ofLine = visits.some(({ lineMinutes }) => lineMinutes !== null);
    const heads = [t('dwell.by.station'), t('dwell.arrived'), t('dwell.left'), t('dwell.standard'), t('dwell.total'), t('dwell.states'), t('dwell.delayStation'), ...(ofLine ? [t('dwell.delayLine')] : [])];
    const numbers = new Set([t('dwell.standard'), t('dwell.total'), t('dwell.delayStation'), t('dwell.delayLine')]);
    return html`<div class="table cards" tabindex="0" role="region" aria-label=${t('dwell.behind')}><table>
      <thead><tr><th scope="col">${t('dwell.unit')}</th>${heads.map((head) => html`<th scope="col" class=${numbers.has(head) ? 'number' : ''}>${head}</th>`)}</tr></thead>
      <tbody>${visits.map((visit) => this.row(visit, timeZone, ofLine))}</tbody></table></div>`;
  }

  private row({ visit, key, standing, model, shift, lineMinutes, reasons }: VisitBehind, zone: string, ofLine: boolean): TemplateResult {
    const missing = standing === 'notScanned';
    const minutes = (value: number): string => (missing ? '' : oneDecimal(value));
    return html`<tr class="visit"><th scope="row"><a href=${unitPath(this.store?.plant ?? '', key.unit)}>${key.unit}</a> <small>${model} ${shift}</small></th>
      <td data-head=${t('dwell.by.station')}>${visit.station}</td><td data-head=${t('dwell.arrived')} class="whole">${key.arrived === null ? t('dwell.behind.missed') : wallTime(zone, key.arrived)}</td>
      <td data-head=${t('dwell.left')} class="whole">${visit.left === null ? (missing ? '' : t('dwell.behind.provisional')) : wallTime(zone, visit.left)}${visit.finishAssumed ? html`<small>${t('dwell.behind.finishAssumed')}</small>` : nothing}</td>
      <td class="number" data-head=${t('dwell.standard')}>${minutes(visit.standard)}</td><td class="number" data-head=${t('dwell.total')}>${minutes(visit.dwell)}</td>
      <td data-head=${t('dwell.states')}><div>${STACKED.filter((name) => visit.minutes[name] >= 0.05).map((name) => html`<span class="whole">${stateMark(name)} ${t(`state.${name}`)} ${oneDecimal(visit.minutes[name])}</span> `)}
        ${reasons.map(({ reason, minutes: of }) => html`<small>${reasonText(reason)} ${oneDecimal(of)}</small>`)}</div></td>
      <td class="number" data-head=${t('dwell.delayStation')}>${minutes(visit.stationDelay)}</td>
      ${ofLine ? html`<td class="number" data-head=${t('dwell.delayLine')}>${lineMinutes === null ? '' : oneDecimal(lineMinutes)}</td>` : nothing}</tr>`;
  }
}
