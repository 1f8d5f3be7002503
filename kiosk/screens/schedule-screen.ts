import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { PlantController } from '../controllers/plant.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { unitPath, type ScreenParams } from '../data/route.ts';
import { noticeStyles } from '../styles/notice.styles.ts';
import { base } from '../styles/tokens.ts';
import { locale, t, type WordKey } from '../words/catalogue.ts';
import './import-panel.ts';
import { refusedNotices } from './refused-notices.ts';

const HEADS: WordKey[] = ['unit.sequence', 'late.unit', 'unit.order', 'late.dealer', 'unit.plannedRelease', 'unit.wish', 'late.promise', 'schedule.stage'];
const ROWS = 400;

/** Production control's schedule: the units to build and to ship in their sequence, and the way in for new ones. */
@customElement('sh-schedule-screen')
export class ScheduleScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; }
    h2 { margin: 0 0 8px; font-size: 1.2em; }
    section { margin-bottom: 28px; }
    .row { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; margin-bottom: 12px; }
    label { display: grid; gap: 4px; } input { min-height: 48px; }
    .table { overflow-x: auto; } table { border-collapse: collapse; width: 100%; }
    th, td { text-align: start; padding: 6px 14px 6px 0; border-bottom: 1px solid var(--rule); vertical-align: top; white-space: nowrap; }
    small { color: var(--ink-soft); display: block; font-size: 0.9em; }
    summary { min-height: 48px; font-size: 1.2em; font-weight: 700; cursor: pointer; display: list-item; line-height: 48px; }
  `, noticeStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private looked = '';
  /** Whether the import is shown: first of all where there are no units, from then on as the user leaves it. */
  @state() private importing: boolean | null = null;
  private readonly plant = new PlantController(this, () => this.store);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const units = view.units.filter(({ state: unit }) => unit.known).toSorted((a, b) => (a.state.sequence ?? Infinity) - (b.state.sequence ?? Infinity));
    this.importing ??= units.length === 0;
    return html`${refusedNotices(this.store!.outbox)}<section><details ?open=${this.importing} @toggle=${(event: Event) => (this.importing = (event.target as HTMLDetailsElement).open)}><summary>${t('schedule.import')}</summary>
        <sh-import-panel .plant=${view.plant.code}></sh-import-panel></details></section>
      <section><h2>${t('schedule.units')}</h2>${units.length === 0 ? html`<p>${t('schedule.none')}</p>` : this.units(view, units)}</section>`;
  }

  private units(view: Snapshot, units: readonly UnitRow[]): TemplateResult {
    const wanted = this.looked.toLowerCase();
    const found = units.filter(({ state: unit }) => [unit.unit, unit.order, unit.dealer, unit.vin ?? ''].some((text) => text.toLowerCase().includes(wanted)));
    return html`<div class="row"><label>${t('schedule.find')} <input type="search" .value=${this.looked} @input=${(event: Event) => (this.looked = (event.target as HTMLInputElement).value)} /></label></div>
      ${found.length === 0 ? html`<p>${t('schedule.noMatch')}</p>` : html`<div class="table" tabindex="0" role="region" aria-label=${t('schedule.units')}><table>
        <thead><tr>${HEADS.map((head) => html`<th scope="col">${t(head)}</th>`)}</tr></thead>
        <tbody>${found.slice(0, ROWS).map((row) => this.row(view, row))}</tbody></table></div>`}`;
  }

  private row(view: Snapshot, { state: unit }: UnitRow): TemplateResult {
    const release = unit.plannedRelease === null ? '' : new Date(unit.plannedRelease).toLocaleString(locale(), { timeZone: view.plant.timeZone, month: 'short', day: 'numeric', hour: '2-digit', minute: '2-digit' });
    return html`<tr><td>${unit.sequence}</td><th scope="row"><a href=${unitPath(view.plant.code, unit.unit)}>${unit.unit}</a><small>${unit.model} ${unit.options.join(' + ')}</small></th>
      <td>${unit.order}</td><td>${unit.dealer}</td><td>${release}</td><td>${unit.wish}</td>
      <td>${unit.promise}${unit.promiseMoved ? html`<small>${t('late.first', { date: unit.firstPromise ?? '', who: unit.promiseMoved.who })}</small>` : nothing}</td>
      <td>${t(`stage.${unit.stage}`)} ${unit.place?.station}</td></tr>`;
  }
}
