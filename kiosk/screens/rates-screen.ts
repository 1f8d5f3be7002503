import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { type PeriodQuery, readPeriod, writePeriod } from '../../server/contract/period-query.ts';
import type { QualityRatesReply } from '../../server/contract/quality-rates.ts';
import type { ImportReply } from '../../server/contract/replies.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { PlantController } from '../controllers/plant.ts';
import { ReportController } from '../controllers/report.ts';
import { ApiError, askJson } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { saveReport } from '../data/report-paths.ts';
import { type ScreenParams, unitPath } from '../data/route.ts';
import { reportStyles } from '../styles/report.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { keepInAddress, percent, periodFields, periodText } from './report-parts.ts';
import '../elements/pareto-bar.ts';
import '../elements/u-chart.ts';

const SHOWN = 10;

/** Rates of quality (definitions §9): yields of the checks, defects per unit with their limits, what was found most, and where dealers' claims lead back to. */
@customElement('sh-rates-screen')
export class RatesScreen extends LitElement {
  static override styles = [base, reportStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private asked: PeriodQuery | null = null;
  @state() private said = '';
  private readonly plant = new PlantController(this, () => this.store);
  private readonly report = new ReportController<QualityRatesReply>(this, () => (this.store?.view ? `${this.path('quality-rates')}?${this.query}` : null));

  private get period(): PeriodQuery {
    return this.asked ?? readPeriod(this.params?.query ?? {}, []);
  }

  private get query(): string {
    return new URLSearchParams(writePeriod(this.period)).toString();
  }

  private path(of: string): string {
    return `/api/plants/${encodeURIComponent(this.store?.plant ?? '')}/${of}`;
  }

  override render(): TemplateResult {
    const view = this.store?.view;
    const { told, problem, away } = this.report;
    if (!view || (!told && !problem)) return html`<p role="status">${t(away ? 'app.noServer' : 'app.loading')}</p>`;
    if (!told) return html`<p role="alert">${problem}</p>`;
    const choose = (period: PeriodQuery): void => {
      this.asked = period;
      keepInAddress(new URLSearchParams(writePeriod(period)).toString(), {});
    };
    return html`<div class="filters">${periodFields(this.period, told, choose)}</div>
      <h1>${periodText(told)}: ${t('rates.sentence', { rty: told.rolledThroughputYield === null ? '–' : percent(told.rolledThroughputYield), dpu: told.defectsPerUnit === null ? '–' : told.defectsPerUnit.toFixed(2) })}</h1>
      ${this.yields(view, told)}
      <h2>${t('rates.defects')}</h2><sh-u-chart .points=${told.weeks.map(({ week, point }) => ({ label: week, point }))} .name=${t('rates.chart', { n: told.weeks.filter(({ point }) => point?.outside).length })} .outside=${t('rates.outside')}></sh-u-chart>
      <div class="table" tabindex="0" role="region" aria-label=${t('rates.defects')}><table><thead><tr><th>${t('rates.week')}</th><th class="number">${t('rates.found')}</th><th class="number">${t('rates.units')}</th><th class="number">${t('rates.perUnit')}</th></tr></thead><tbody>${told.weeks.map(({ week, defects, units, point }) => html`<tr><th scope="row">${week}</th><td class="number">${defects}</td><td class="number">${units}</td><td class="number">${point ? point.value.toFixed(2) : '–'}</td></tr>`)}</tbody></table></div>
      ${this.pareto('rates.byStation', told.byStation, (code) => code)}${this.pareto('rates.byZone', told.byZone, (code) => view.plant.zones?.find((zone) => zone.code === code)?.name ?? code)}${this.pareto('rates.byKind', told.byKind, (what) => what)}
      ${this.claims(view, told)}`;
  }

  private yields({ plant }: Snapshot, { checks }: QualityRatesReply): TemplateResult {
    const name = (code: string): string => plant.checks?.find((check) => check.code === code)?.name ?? code;
    return html`<h2>${t('rates.yields')}</h2><div class="table" tabindex="0" role="region" aria-label=${t('rates.yields')}><table><thead><tr><th>${t('rates.check')}</th><th class="number">${t('rates.checked')}</th><th class="number">${t('rates.passed')}</th><th class="number">${t('rates.fpy')}</th></tr></thead>
      <tbody>${checks.map(({ check, checked, passedAtFirst, firstPassYield }) => html`<tr><th scope="row">${name(check)}</th><td class="number">${checked}</td><td class="number">${passedAtFirst}</td><td class="number">${firstPassYield === null ? '–' : percent(firstPassYield)}</td></tr>`)}</tbody></table></div>`;
  }

  private pareto(title: 'rates.byStation' | 'rates.byZone' | 'rates.byKind' | 'rates.claimsByStation' | 'rates.claimsByCheck', rows: QualityRatesReply['byZone'], name: (label: string) => string): TemplateResult | typeof nothing {
    if (rows.length === 0) return nothing;
    return html`<h2>${t(title)}</h2><div class="table" tabindex="0" role="region" aria-label=${t(title)}><table><tbody>${rows.slice(0, SHOWN).map((row, i) => html`<tr><th scope="row">${row.label === '' ? t('rates.nothingSaid') : name(row.label)}</th><td class="number">${row.amount}</td><td class="number">${percent(row.share)}</td>
      <td class="strip"><sh-pareto-bar .share=${row.share / (rows[0]!.share || 1)} .above=${i === 0 ? null : rows[i - 1]!.cumulative} .cumulative=${row.cumulative} ?vital=${row.vital}></sh-pareto-bar></td></tr>`)}</tbody></table></div>
      ${rows.length > SHOWN ? html`<p class="soft">${t('rates.more', { n: rows.length - SHOWN })}</p>` : nothing}`;
  }

  private claims(view: Snapshot, told: QualityRatesReply): TemplateResult {
    const check = (code: string): string => view.plant.checks?.find((one) => one.code === code)?.name ?? code;
    return html`<h2>${t('rates.claims', { n: told.claims.length })}</h2>
      <div class="filters"><label>${t('rates.import')}<input type="file" accept=".csv,text/csv" @change=${(event: Event) => void this.take(event)} /></label>
        <button @click=${() => void saveReport(this.path('claims/template.csv'), 'claims-template.csv').catch((error: unknown) => this.failed(error))}>${t('rates.template')}</button>
        <button @click=${() => void saveReport(`${this.path('claims.csv')}?${this.query}`, 'claims.csv').catch((error: unknown) => this.failed(error))}>${t('release.csv')}</button></div>
      ${this.said === '' ? nothing : html`<p role="status">${this.said}</p>`}
      ${told.claims.length === 0 ? nothing : html`<div class="table" tabindex="0" role="region" aria-label=${t('rates.claims', { n: told.claims.length })}><table><thead><tr><th>${t('rates.claim')}</th><th>${t('trace.unit')}</th><th>${t('rates.what')}</th><th>${t('unit.station')}</th><th>${t('rates.week')}</th><th>${t('rates.letPass')}</th></tr></thead>
        <tbody>${told.claims.map((row) => html`<tr><td>${row.claim} <small>${row.claimed} ${row.dealer}</small></td><td><a href=${unitPath(view.plant.code, row.unit)}>${row.unit}</a></td><td>${row.what}</td><td>${row.ledTo ?? '–'}</td><td>${row.week ?? '–'}</td><td>${row.checks.map(check).join(', ') || '–'}</td></tr>`)}</tbody></table></div>
        ${this.pareto('rates.claimsByStation', told.claimsByStation, (code) => code)}${this.pareto('rates.claimsByCheck', told.claimsByCheck, check)}`}`;
  }

  private async take(event: Event): Promise<void> {
    const input = event.target as HTMLInputElement;
    const [file] = input.files ?? [];
    if (!file) return;
    try {
      const { imported, problems } = await askJson<ImportReply>(`${this.path('claims/import')}?mode=good`, { method: 'POST', body: await file.text(), type: 'text/csv' });
      this.said = [t('rates.taken', { n: imported }), ...problems.slice(0, 8).map(({ line, column, message }) => t('rates.problem', { line, column, message }))].join(' ');
      this.report.again();
    } catch (error) {
      this.failed(error);
    }
    input.value = '';
  }

  private failed(error: unknown): void {
    this.said = error instanceof ApiError && error.status !== 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer');
  }
}
