import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { MarksReply, ScansReply } from '../../server/contract/dwell.ts';
import { MARK_KINDS, type MarksQuery, readMarksQuery, writeMarksQuery } from '../../server/contract/marks-query.ts';
import { type PeriodQuery, readPeriod, writePeriod } from '../../server/contract/period-query.ts';
import { PlantController } from '../controllers/plant.ts';
import { ReportController } from '../controllers/report.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { lineOf, linePath } from '../data/report-paths.ts';
import type { ScreenParams } from '../data/route.ts';
import { reportStyles } from '../styles/report.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { marksTable, type ScansPlace, scansTable } from './scans-tables.ts';
import { choice, fileButtons, keepInAddress, lineField, percent, periodFields, periodText } from './report-parts.ts';

const SORTS = ['order', 'worst'] as const;

/** Which stations and shifts miss, bunch or backdate their scans, and the scans behind it. */
@customElement('sh-scans-screen')
export class ScansScreen extends LitElement {
  static override styles = [base, reportStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private query: PeriodQuery | null = null;
  @state() private sort: (typeof SORTS)[number] | null = null;
  @state() private chosenLine: string | null = null;
  @state() private fileProblem = '';
  private readonly plant = new PlantController(this, () => this.store);
  private readonly report = new ReportController<ScansReply>(this, () => (this.showsMarks ? null : this.path('scans', this.asked)));
  private readonly marks = new ReportController<MarksReply>(this, () => (this.showsMarks ? this.path('scans/marks', this.asked) : null));

  private get asked(): PeriodQuery {
    this.query ??= readPeriod(this.params?.query ?? {}, []);
    return this.query;
  }

  private get askedMarks(): MarksQuery {
    return { ...readMarksQuery(this.params?.query ?? {}).query, ...this.asked };
  }

  private get line(): string | null {
    const view = this.store?.view;
    return view ? lineOf(view, this.chosenLine ?? this.params?.query['line']) : null;
  }

  private get showsMarks(): boolean {
    return this.params?.query['show'] === 'marks';
  }

  private get order(): (typeof SORTS)[number] {
    return this.sort ?? (this.params?.query['sort'] === 'worst' ? 'worst' : 'order');
  }

  private path(of: 'scans' | 'scans/marks', period: PeriodQuery): string | null {
    const { line, store } = this;
    const said = of === 'scans' ? new URLSearchParams(writePeriod(period)).toString() : writeMarksQuery(this.askedMarks);
    return store && line !== null ? `${linePath(store.plant, line)}/${of}${said === '' ? '' : `?${said}`}` : null;
  }

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { line } = this;
    if (line === null) return html`<p>${t('board.noLines')}</p>`;
    const report = this.showsMarks ? this.marks : this.report;
    const files = this.showsMarks ? writeMarksQuery(this.askedMarks) : new URLSearchParams(writePeriod(this.asked)).toString();
    return html`<div class="filters">${periodFields(this.asked, report.told?.period ?? { first: '', last: '' }, (period) => this.ask({ period }))}
        ${this.showsMarks ? nothing : html`${lineField(view, line, (chosen) => this.ask({ line: chosen }))}
          ${choice('scans.sort', this.order, SORTS.map((sort) => [sort, t(`scans.sort.${sort}`)]), (sort) => this.ask({ sort: sort === 'worst' ? 'worst' : 'order' }))}`}
        ${fileButtons(`${linePath(view.plant.code, line)}/scans${this.showsMarks ? '/marks' : ''}`, files, (what) => (this.fileProblem = what))}</div>
      ${[this.fileProblem, report.problem].map((what) => (what === '' ? nothing : html`<p class="wrong" role="alert">✖ ${what}</p>`))}
      ${report.away ? html`<p class="note" role="alert">⚠ ${t('app.noServer')}</p>` : nothing}
      ${!report.told && report.asking ? html`<p role="status">${t('report.telling')}</p>` : nothing}
      ${this.showsMarks ? (this.marks.told ? this.marked(this.marks.told, line) : nothing) : this.report.told ? this.told(this.report.told, line) : nothing}`;
  }

  private told(told: ScansReply, line: string): TemplateResult {
    if (told.habits.length === 0) return html`<p>${periodText(told.period)}. ${t('scans.none')}</p>`;
    const total = (of: (habit: ScansReply['habits'][number]) => number): number => told.habits.reduce((sum, habit) => sum + of(habit), 0);
    const worst = told.habits.toSorted((a, b) => a.goodShare - b.goodShare);
    const least = worst[0]!;
    return html`<h1><b>${t('scans.share', { share: percent(total(({ good }) => good) / total(({ scans, missing }) => scans + missing)) })}</b>
        ${least.goodShare < 1 ? t('scans.worst', { station: least.station, shift: least.shift || t('report.noShift'), share: percent(least.goodShare) }) : nothing}</h1>
      <p class="soft">${periodText(told.period)}. ${t('scans.explain')}</p>
      ${scansTable(this.place(told, line), this.order === 'worst' ? worst : told.habits)}`;
  }

  private marked(told: MarksReply, line: string): TemplateResult {
    const { station, shift, kind } = this.askedMarks;
    const back = `/${encodeURIComponent(this.store!.plant)}/scans?${new URLSearchParams({ line, ...writePeriod(this.asked) }).toString()}`;
    return html`<p><a href=${back}>← ${t('report.back')}</a></p>
      <h1><b>${t('scans.marks')}</b>: ${MARK_KINDS.filter((one) => kind === '' || one === kind).map((one) => t(`scans.kind.${one}`)).join(', ')}. ${[station, shift === '-' ? t('report.noShift') : shift].filter((part) => part !== '').join(' · ')}</h1>
      <p class="soft">${periodText(told.period)}. ${t('scans.markCount', { n: told.count })}. ${told.count > told.marks.length ? t('report.first', { n: told.marks.length, count: told.count }) : nothing}</p>
      ${told.count === 0 ? html`<p>${t('scans.noMarks')}</p>` : marksTable(this.place(told, line), told.marks)}`;
  }

  private place({ period, timeZone }: ScansReply | MarksReply, line: string): ScansPlace {
    return { plant: this.store!.plant, line, period, timeZone };
  }

  private ask({ period, sort, line }: { period?: PeriodQuery; sort?: (typeof SORTS)[number]; line?: string }): void {
    if (period) this.query = period;
    if (sort) this.sort = sort;
    if (line) this.chosenLine = line;
    const named = this.chosenLine ?? this.params?.query['line'];
    const more = { ...(named ? { line: named } : {}), ...(this.order === 'worst' ? { sort: 'worst' } : {}), ...(this.showsMarks ? { show: 'marks' } : {}) };
    keepInAddress(this.showsMarks ? writeMarksQuery(this.askedMarks) : new URLSearchParams(writePeriod(this.asked)).toString(), more);
  }
}
