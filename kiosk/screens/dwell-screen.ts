import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { DwellReply } from '../../server/contract/dwell.ts';
import { DWELL_BY, type DwellQuery, readDwellQuery, writeDwellQuery } from '../../server/contract/dwell-query.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { constraintMoves } from '../../server/core/rates/line-constraint.ts';
import { DWELL_SORTS } from '../../server/core/rates/dwell-report.ts';
import { PlantController } from '../controllers/plant.ts';
import { ReportController } from '../controllers/report.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { lineOf, linePath } from '../data/report-paths.ts';
import type { ScreenParams } from '../data/route.ts';
import { reportStyles } from '../styles/report.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { causesPart } from './dwell-causes.ts';
import { constraintPart } from './dwell-constraint.ts';
import { rowsPart } from './dwell-rows.ts';
import { trendPart } from './dwell-trend.ts';
import { choice, fileButtons, keepInAddress, lineField, periodFields, periodText, whole } from './report-parts.ts';
import './delay-days.ts';
import './visits-list.ts';

/** Dwell and delay of a line over weeks: station delay beside line delay, its causes, its trend, the constraint; every figure leads to its visits. */
@customElement('sh-dwell-screen')
export class DwellScreen extends LitElement {
  static override styles = [base, reportStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private query: DwellQuery | null = null;
  @state() private chosenLine: string | null = null;
  @state() private fileProblem = '';
  private readonly plant = new PlantController(this, () => this.store);
  private readonly report = new ReportController<DwellReply>(this, () => this.path());

  private get asked(): DwellQuery {
    this.query ??= readDwellQuery(this.params?.query ?? {}).query;
    return this.query;
  }

  private get line(): string | null {
    const view = this.store?.view;
    return view ? lineOf(view, this.chosenLine ?? this.params?.query['line']) : null;
  }

  private get showsVisits(): boolean {
    return this.params?.query['show'] === 'visits';
  }

  private path(): string | null {
    const { line, store } = this;
    if (!store || line === null || this.showsVisits) return null;
    const query = writeDwellQuery(this.asked);
    return `${linePath(store.plant, line)}/dwell${query === '' ? '' : `?${query}`}`;
  }

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { line, report } = this;
    if (line === null) return html`<p>${t('board.noLines')}</p>`;
    if (this.showsVisits) return html`<sh-visits-list .store=${this.store} .params=${this.params} .line=${line}></sh-visits-list>`;
    return html`${this.filters(view, line)}
      ${this.fileProblem ? html`<p class="wrong" role="alert">✖ ${this.fileProblem}</p>` : nothing}
      ${report.problem ? html`<p class="wrong" role="alert">✖ ${report.problem}</p>` : nothing}
      ${report.away ? html`<p class="note" role="alert">⚠ ${t('app.noServer')}</p>` : nothing}
      ${report.told ? html`<div class=${report.asking ? 'busy' : ''} aria-busy=${report.asking ? 'true' : 'false'}>${this.told(view, report.told)}</div>`
        : report.asking ? html`<p role="status">${t('report.telling')}</p>` : nothing}`;
  }

  private filters(view: Snapshot, line: string): TemplateResult {
    const { asked } = this;
    const stations = view.plant.lines.find(({ code }) => code === line)?.stations.map(({ code }) => code) ?? [];
    const shifts = [...new Set(view.plant.calendars.flatMap((calendar) => calendar.shifts.map(({ name }) => name)))];
    const all = (chosen: string, values: string[], word: 'report.all' | 'report.allModels'): [string, string][] =>
      [['', t(word)], ...(chosen === '' || values.includes(chosen) ? values : [chosen, ...values]).map((value): [string, string] => [value, value])];
    return html`<div class="filters">
      ${periodFields(asked, this.report.told?.period ?? { first: '', last: '' }, (period) => this.ask(period))}
      ${lineField(view, line, (chosen) => {
        this.chosenLine = chosen;
        this.ask({ station: '' });
      })}
      ${choice('dwell.by', asked.by, DWELL_BY.map((by) => [by, t(`dwell.by.${by}`)]), (by) => this.ask({ by: DWELL_BY.find((one) => one === by) ?? 'station' }))}
      ${choice('dwell.sort', asked.sort, DWELL_SORTS.map((sort) => [sort, t(`dwell.sort.${sort}`)]), (sort) => this.ask({ sort: DWELL_SORTS.find((one) => one === sort) ?? 'order' }))}
      ${choice('dwell.by.station', asked.station, all(asked.station, stations, 'report.all'), (station) => this.ask({ station }))}
      ${choice('dwell.by.model', asked.model, all(asked.model, view.plant.models.map(({ code }) => code), 'report.allModels'), (model) => this.ask({ model }))}
      ${choice('dwell.by.shift', asked.shift, all(asked.shift, shifts, 'report.allModels'), (shift) => this.ask({ shift }))}
      ${fileButtons(`${linePath(view.plant.code, line)}/dwell`, writeDwellQuery(asked), (what) => (this.fileProblem = what))}</div>`;
  }

  private told(view: Snapshot, told: DwellReply): TemplateResult {
    const { asked } = this;
    const place = { plant: view.plant.code, line: told.line, query: asked, told };
    if (told.rows.length === 0) return html`<p>${periodText(told.period)}. ${t('dwell.none')}</p>`;
    const moves = constraintMoves(told.constraintSteps).length;
    const { whole: all } = told;
    return html`<h1><b>${t('dwell.lineDelay', { n: whole(told.lineDelay.totalMinutes) })}</b>:
        ${whole(told.lineDelay.inPipeMinutes).startsWith('-') ? t('board.delayMadeUp', { lost: whole(told.lineDelay.lostMinutes), pipe: whole(-told.lineDelay.inPipeMinutes) })
          : t('board.delayParts', { lost: whole(told.lineDelay.lostMinutes), pipe: whole(told.lineDelay.inPipeMinutes) })}.
        ${t('dwell.stationDelay', { n: whole(all.stationDelay?.sum ?? 0), visits: whole(all.visits) })}
        ${told.constraint?.station ? html`<b>${t('dwell.constraintNow', { station: told.constraint.station })}</b>, ${moves === 0 ? t('dwell.stayed') : moves === 1 ? t('dwell.movedOnce') : t('dwell.moved', { n: moves })}` : nothing}</h1>
      <p class="soft">${periodText(told.period)}. ${t('dwell.absorbed')} ${all.provisional > 0 ? t('dwell.provisional', { n: all.provisional }) : nothing}</p>
      ${rowsPart(place)}
      <sh-delay-days .plant=${view.plant.code} .line=${told.line} .first=${told.period.first} .last=${told.period.last}></sh-delay-days>
      ${causesPart(place, (what) => (this.fileProblem = what))}
      ${trendPart(place, (measure) => this.ask({ measure }))}
      ${constraintPart(place)}`;
  }

  private ask(change: Partial<DwellQuery>): void {
    this.query = { ...this.asked, ...change };
    keepInAddress(writeDwellQuery(this.query), this.line === null || (this.chosenLine === null && this.params?.query['line'] === undefined) ? {} : { line: this.line });
  }
}
