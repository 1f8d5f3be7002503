import { LitElement, css, html, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { lateCsv } from '../../server/contract/late-csv.ts';
import { readLateQuery, writeLateQuery } from '../../server/contract/late-query.ts';
import { LATE_GROUPS, LATE_SORTS, lateReport, promised, type LateQuery, type LateUnits } from '../../server/contract/late-report.ts';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { ClockController } from '../controllers/clock.ts';
import { ForecastController } from '../controllers/forecast.ts';
import { PlantController } from '../controllers/plant.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { type ScreenParams, screenPath } from '../data/route.ts';
import { saveFile } from '../data/save-file.ts';
import { saveReport } from '../data/report-paths.ts';
import { base } from '../styles/tokens.ts';
import { language, locale, t, type WordKey } from '../words/catalogue.ts';
import { lateTable } from './late-table.ts';
import { fileFailed } from './report-parts.ts';

/** Every unit promised and not shipped, those that are late or at standard will be by default, where it is, how long, and what stops it. */
@customElement('sh-late-screen')
export class LateScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; }
    .filters { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; margin-bottom: 12px; }
    .filters > * { min-height: 44px; }
    label { display: grid; gap: 4px; min-width: 0; }
    select { width: 100%; }
    .table { overflow-x: auto; }
    table { border-collapse: collapse; width: 100%; }
    th, td { text-align: start; vertical-align: top; padding: 8px 14px 8px 0; border-bottom: 1px solid var(--rule); overflow-wrap: anywhere; }
    thead th { vertical-align: bottom; overflow-wrap: normal; }
    .group th { font-size: 1.15em; padding-top: 20px; border-bottom: 2px solid var(--ink-soft); }
    .number { text-align: end; font-variant-numeric: tabular-nums; }
    .whole { white-space: nowrap; }
    .forecast { min-width: 15em; }
    .wrong { background: var(--red-fill); color: var(--red-ink); padding: 10px 14px; border-radius: var(--radius); margin: 0 0 12px; }
    .told { margin: 0 0 12px; color: var(--ink-soft); }
    .soft, small { color: var(--ink-soft); font-weight: 400; }
    small { font-size: 0.9em; display: block; }
    @media (max-width: 800px) {
      label { flex: 1 1 9em; }
      thead { display: none; }
      table, tbody, tr, th, td { display: block; padding: 0; border: 0; }
      .unit { border-bottom: 1px solid var(--rule); padding: 10px 0; }
      .unit th { font-size: 1.2em; }
      .unit td { display: grid; grid-template-columns: 9.5em minmax(0, 1fr); gap: 0 10px; text-align: start; padding-top: 4px; }
      .unit td::before { content: attr(data-head); color: var(--ink-soft); grid-row: 1 / span 9; }
      .unit td > * { grid-column: 2; }
      .group th { padding-bottom: 4px; }
    }
    @media (min-width: 1800px) { :host { font-size: 24px; } }
    @media print {
      :host { padding: 0; }
      .filters, .back { display: none; }
      .table { overflow: visible; }
      table { font-size: 9pt; }
      th, td { padding: 3px 8px 3px 0; }
      thead { display: table-header-group; }
      .unit { break-inside: avoid; }
      .group { break-after: avoid; }
    }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private query: LateQuery | null = null;
  /** Why the last file did not come. */
  @state() private failed = '';
  private readonly clock = new ClockController(this, 60_000);
  private readonly forecast = new ForecastController(this, () => this.store);
  private readonly plant = new PlantController(this, () => this.store);

  /** As the address says; it shows the late ones alone unless it says otherwise. */
  private get asked(): LateQuery {
    const { only = 'late', ...said } = this.params?.query ?? {};
    this.query ??= readLateQuery({ ...said, only: only === 'all' ? '' : only }).query;
    return this.query;
  }

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { asked } = this;
    const forecast = this.forecast.told;
    const groups = lateReport(view, asked, this.clock.now, forecast);
    return html`<div class="filters">
      ${this.choice('late.group', asked.group, LATE_GROUPS.map((group) => [group, t(`late.group.${group}`)]), (group) => this.ask({ group: LATE_GROUPS.find((one) => one === group) ?? 'stage' }))}
      ${this.choice('late.sort', asked.sort, LATE_SORTS.map((sort) => [sort, t(`late.sort.${sort}`)]), (sort) => this.ask({ sort: LATE_SORTS.find((one) => one === sort) ?? 'worst' }))}
      ${this.choice('late.show', asked.lateOnly ? 'late' : 'all', [['late', t('late.show.late')], ['all', t('late.show.all')]], (show) => this.ask({ lateOnly: show === 'late' }))}
      ${this.filter('late.shipDay', 'shipDay', valuesOf(view, (row) => row.state.promise))}
      ${this.filter('late.dealer', 'dealer', valuesOf(view, (row) => row.state.dealer))}
      ${this.filter('late.model', 'model', valuesOf(view, (row) => row.state.model))}
      <button @click=${() => download(groups, view.plant.code, view.plant.timeZone)}>${t('late.csv')}</button>
      <button @click=${() => void this.file('xlsx')}>${t('late.xlsx')}</button>
      <button @click=${() => void this.file('pdf')}>${t('late.pdf')}</button>
      <button @click=${() => window.print()}>${t('late.print')}</button>
    </div>
    ${this.failed ? html`<p class="wrong" role="alert">✖ ${this.failed}</p>` : nothing}
    <p class="told">${this.toldAt(view.plant.timeZone)} <a class="back" href=${screenPath(view.plant.code, 'trust')}>${t('nav.trust')}</a></p>
    ${groups.length > 0 ? lateTable({ plant: view.plant.code, zone: view.plant.timeZone, group: asked.group, at: this.clock.now }, groups) : html`<p>${this.nothing(asked)}</p>`}`;
  }

  private nothing({ shipDay, dealer, model }: LateQuery): string {
    return t(shipDay + dealer + model === '' ? 'late.none' : 'late.noMatch');
  }

  /** When the forecast was made, and how old what it knew was. */
  private toldAt(zone: string): string {
    const { told } = this.forecast;
    if (!told) return t('late.making');
    const time = new Intl.DateTimeFormat(locale(), { timeZone: zone, weekday: 'short', hour: 'numeric', minute: '2-digit' });
    return `${t('late.made', { time: time.format(told.made), facts: told.factsAt === null ? '–' : time.format(told.factsAt) })} ${t('late.legend')}`;
  }

  /** A file that the server makes of the same report. */
  private async file(ending: 'xlsx' | 'pdf'): Promise<void> {
    const plant = this.store?.plant ?? '';
    const said = writeLateQuery(this.asked);
    this.failed = '';
    try {
      await saveReport(`/api/plants/${encodeURIComponent(plant)}/late.${ending}?${said}&language=${language()}`, `${plant}-late.${ending}`);
    } catch (error) {
      this.failed = fileFailed(error);
    }
  }

  private filter(word: WordKey, field: 'shipDay' | 'dealer' | 'model', values: string[]): TemplateResult {
    const chosen = this.asked[field];
    // A bookmarked value that no unit has any more is still what is asked for.
    const known = chosen === '' || values.includes(chosen) ? values : [chosen, ...values];
    return this.choice(word, chosen, [['', t('late.all')], ...known.map((value): [string, string] => [value, value])], (value) => this.ask({ [field]: value }));
  }

  private choice(word: WordKey, chosen: string, values: readonly (readonly [string, string])[], choose: (value: string) => void): TemplateResult {
    return html`<label>${t(word)}<select @change=${(event: Event) => {
      if (event.target instanceof HTMLSelectElement) choose(event.target.value);
    }}>${values.map(([value, name]) => html`<option value=${value} ?selected=${value === chosen}>${name}</option>`)}</select></label>`;
  }

  /** Keeps what is asked for in the address, so that it can be bookmarked. */
  private ask(change: Partial<LateQuery>): void {
    this.query = { ...this.asked, ...change };
    const said = new URLSearchParams(writeLateQuery(this.query));
    if (this.query.lateOnly) said.delete('only');
    else said.set('only', 'all');
    const text = said.toString();
    history.replaceState(null, '', text === '' ? location.pathname : `?${text}`);
  }
}

/** The different values of a column among the units that the report could hold, sorted. */
function valuesOf(view: Snapshot, value: (row: UnitRow) => string | null): string[] {
  const values = promised(view).map(value);
  return [...new Set(values.filter((one): one is string => one !== null && one !== ''))].toSorted();
}

/** The file holds the rows that are on the screen, made from the same report. */
function download(groups: readonly LateUnits[], plant: string, zone: string): void {
  saveFile(new Blob([lateCsv(groups, zone)], { type: 'text/csv;charset=utf-8' }), `${plant}-late.csv`);
}
