import { LitElement, css, html, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { UnitRow } from '../../server/contract/snapshot.ts';
import { PlantController } from '../controllers/plant.ts';
import { ask } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { unitPath, type ScreenParams } from '../data/route.ts';
import { saveFile } from '../data/save-file.ts';
import { stateTag } from '../styles/states.ts';
import { base } from '../styles/tokens.ts';
import { locale, t, type WordKey } from '../words/catalogue.ts';
import { choicesOf, lateRows, type LateFilter } from './late-rows.ts';

/** Every unit that is late or at standard will be, worst first, with where it is and what stops it. */
@customElement('sh-late-screen')
export class LateScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; }
    .filters { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; margin-bottom: 12px; }
    label { display: grid; gap: 4px; }
    .table { overflow-x: auto; }
    table { border-collapse: collapse; width: 100%; }
    th, td { text-align: start; vertical-align: top; padding: 8px 12px 8px 0; border-bottom: 1px solid var(--rule); }
    .number { text-align: end; font-variant-numeric: tabular-nums; }
    small { color: var(--ink-soft); font-size: 0.9em; display: block; }
    @media print { .filters { display: none; } .table { overflow: visible; } table { font-size: 10pt; } }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private filter: LateFilter = { shipDay: '', dealer: '', model: '' };
  @state() private problem = '';
  private readonly plant = new PlantController(this, () => this.store);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const rows = lateRows(view.units, this.filter);
    const all = lateRows(view.units, { shipDay: '', dealer: '', model: '' });
    return html`<div class="filters">
      ${this.choice('late.shipDay', 'shipDay', choicesOf(view.units, (row) => row.state.promise))}
      ${this.choice('late.dealer', 'dealer', choicesOf(view.units, (row) => row.state.dealer))}
      ${this.choice('late.model', 'model', choicesOf(view.units, (row) => row.state.model))}
      <button @click=${() => void this.download(view.plant.code)}>${t('late.csv')}</button>
      <button @click=${() => window.print()}>${t('late.print')}</button>
    </div>
    ${this.problem ? html`<p role="alert">${t('late.csvFailed', { what: this.problem })}</p>` : nothing}
    ${rows.length > 0 ? this.table(rows, view.plant.timeZone) : html`<p>${t(all.length === 0 ? 'late.none' : 'late.noMatch')}</p>`}`;
  }

  private choice(word: WordKey, field: keyof LateFilter, values: string[]): TemplateResult {
    const chosen = this.filter[field];
    return html`<label>${t(word)}<select @change=${(event: Event) => {
      if (event.target instanceof HTMLSelectElement) this.filter = { ...this.filter, [field]: event.target.value };
    }}><option value="" ?selected=${chosen === ''}>${t('late.all')}</option>
      ${values.map((value) => html`<option value=${value} ?selected=${value === chosen}>${value}</option>`)}</select></label>`;
  }

  private table(rows: UnitRow[], zone: string): TemplateResult {
    const heads: WordKey[] = ['late.unit', 'late.dealer', 'late.promise', 'late.where', 'late.group', 'late.ready'];
    return html`<div class="table" tabindex="0" role="region" aria-label=${t('nav.late')}><table><thead><tr>
      ${heads.map((head) => html`<th scope="col">${t(head)}</th>`)}
      <th scope="col" class="number">${t('late.minutes')}</th><th scope="col" class="number">${t('late.days')}</th>
      </tr></thead><tbody>${rows.map((row) => this.row(row, zone))}</tbody></table></div>`;
  }

  private row(row: UnitRow, zone: string): TemplateResult {
    const { state, late } = row;
    const time = new Intl.DateTimeFormat(locale(), { timeZone: zone, dateStyle: 'medium', timeStyle: 'short' });
    const moved = state.promiseMoved;
    return html`<tr>
      <th scope="row"><a href=${unitPath(this.store?.plant ?? '', state.unit)}>${state.unit}</a><small>${state.model}</small></th>
      <td>${state.dealer}</td>
      <td>${state.promise}${moved ? html`<small>${t('late.first', { date: state.firstPromise ?? '', who: moved.who })}</small>` : nothing}</td>
      <td>${state.place?.station}${state.holds.map((hold) => html`<div>${stateTag('held')} ${hold.reason}</div>`)}
        ${state.shorts.map((short) => html`<div>${t('late.open', { what: short.what })}</div>`)}
        ${this.stopsAt(state.place?.station)}</td>
      <td>${t(`stage.${state.stage}`)}${state.stageSince === null ? nothing
        : html`<small>${t('late.since', { time: time.format(state.stageSince) })}</small>`}</td>
      <td>${row.projectedReady === null ? nothing : time.format(row.projectedReady)}</td>
      <td class="number">${Math.round(late?.minutesLate ?? 0)}</td><td class="number">${late?.calendarDaysLate}</td></tr>`;
  }

  private stopsAt(station: string | undefined): TemplateResult[] {
    const stops = this.store?.view?.stops.filter((stop) => stop.station === station) ?? [];
    return stops.map((stop) => html`<div>${stateTag('stopped')} ${stop.reason}</div>`);
  }

  private async download(plant: string): Promise<void> {
    this.problem = '';
    try {
      const shown = new URLSearchParams({ ...this.filter, only: 'late' });
      const reply = await ask(`/api/plants/${encodeURIComponent(plant)}/late.csv?${shown.toString()}`);
      saveFile(await reply.blob(), `${plant}-late.csv`);
    } catch (error) {
      this.problem = error instanceof Error ? error.message : String(error);
    }
  }
}
