import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { PlansReply, WaysBackReply } from '../../server/contract/plans.ts';
import type { WayBack } from '../../server/core/forecast/compare-plans.ts';
import type { PlanChange } from '../../server/core/forecast/plan-change.ts';
import { ForecastController } from '../controllers/forecast.ts';
import { PlantController } from '../controllers/plant.ts';
import { ApiError, askJson } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';
import type { ScreenParams } from '../data/route.ts';
import { base } from '../styles/tokens.ts';
import { locale, t } from '../words/catalogue.ts';
import { clearByWords, percent } from './late-table.ts';
import './plan-change-form.ts';
import { changeWords, plansTable } from './plans-table.ts';

const TIMEOUT_MS = 120_000;

/** Today's plan beside a changed one, under the same draws: changes are added one at a time, and the table says what they do to each unit. */
@customElement('sh-plans-screen')
export class PlansScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; max-width: 1400px; }
    h2 { margin: 20px 0 8px; font-size: 1.2em; } ul { margin: 0; padding: 0; list-style: none; }
    li { display: flex; flex-wrap: wrap; gap: 6px 14px; align-items: center; padding: 4px 0; } li button { min-height: 44px; }
    .table { overflow-x: auto; } table { border-collapse: collapse; width: 100%; }
    th, td { text-align: start; padding: 6px 14px 6px 0; border-bottom: 1px solid var(--rule); font-variant-numeric: tabular-nums; }
    .sum { font-size: 1.15em; font-weight: 700; }
    .trouble { background: var(--yellow-fill); color: var(--yellow-ink); padding: 8px 12px; }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private changes: PlanChange[] = [];
  @state() private told: PlansReply | null = null;
  @state() private busy = false;
  @state() private trouble = '';
  @state() private back: WaysBackReply | null = null;
  private askedBack = false;
  private readonly forecast = new ForecastController(this, () => this.store);
  private readonly plant = new PlantController(this, () => this.store);

  override willUpdate(): void {
    const unit = this.params?.query['unit'];
    if (this.askedBack || !this.store || !unit) return;
    this.askedBack = true;
    void this.ask<WaysBackReply>(`units/${encodeURIComponent(unit)}/ways-back`).then((back) => (this.back = back));
  }

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { code, timeZone } = view.plant;
    const holds = this.forecast.told?.clearBy ?? [];
    return html`${this.params?.query['unit'] ? this.waysBack(this.params.query['unit'], timeZone) : nothing}
      <p>${t('plans.intro')}</p>
      <sh-plan-change-form .view=${view} .holds=${holds} @plan-change=${(event: CustomEvent<PlanChange>) => this.change([...this.changes, event.detail])}></sh-plan-change-form>
      <h2>${t('plans.list')}</h2>
      ${this.changes.length === 0 ? html`<p>${t('plans.none')}</p>` : html`<ul>${this.changes.map((change) => {
        const words = changeWords(change, timeZone, holds);
        return html`<li>${words} <button aria-label=${t('plans.remove', { what: words })} @click=${() => this.change(this.changes.filter((one) => one !== change))}>${t('plans.removeShort')}</button></li>`;
      })}</ul>`}
      <div role="status">${this.busy ? html`<p>${t('plans.working')}</p>` : nothing}${this.trouble ? html`<p class="trouble">${this.trouble}</p>` : nothing}</div>
      ${this.told && this.changes.length > 0 ? html`<h2>${t('plans.result')}</h2>${plansTable(code, timeZone, this.told)}` : nothing}`;
  }

  /** By when its holds must be cleared, and what overtime would do. */
  private waysBack(unit: string, zone: string): TemplateResult {
    const holds = this.forecast.told?.clearBy ?? [];
    const time = new Intl.DateTimeFormat(locale(), { timeZone: zone, weekday: 'short', month: 'short', day: 'numeric', hour: 'numeric', minute: '2-digit' });
    const own = holds.filter((row) => row.unit === unit);
    return html`<section><h2>${t('plans.back', { unit })}</h2><ul>
      ${own.map((row) => html`<li>${clearByWords(row, time)}</li>`)}
      ${this.back === null ? html`<li role="status">${t('plans.searching')}</li>` : this.back.ways.length === 0 ? html`<li>${t('plans.noWay')}</li>` : this.back.ways.map((way) => html`<li>${this.way(way, zone)}
        <button @click=${() => this.change(way.changes)}>${t('plans.try')}</button></li>`)}</ul></section>`;
  }

  private way({ changes, missing, enough }: WayBack, zone: string): string {
    const what = changes.map((change) => changeWords(change, zone, [])).join(' + ');
    return t(enough ? 'plans.enough' : 'plans.notEnough', { what, percent: percent(missing) });
  }

  private change(changes: PlanChange[]): void {
    this.changes = changes;
    if (changes.length > 0) void this.compare(changes);
  }

  private async compare(changes: PlanChange[]): Promise<void> {
    this.busy = true;
    const wire = changes.map((change) => (change.kind === 'clearHold' ? { ...change, at: new Date(change.at).toISOString() } : change));
    const told = await this.ask<PlansReply>('plans', { changes: wire });
    // Meanwhile something else may have been asked.
    if (this.changes !== changes) return;
    this.busy = false;
    this.told = told;
  }

  private async ask<T>(path: string, body?: unknown): Promise<T | null> {
    this.trouble = '';
    try {
      return await askJson<T>(`/api/plants/${encodeURIComponent(this.store?.plant ?? '')}/${path}`, { timeout: TIMEOUT_MS, ...(body === undefined ? {} : { method: 'POST', body }) });
    } catch (error) {
      this.trouble = error instanceof ApiError && error.status > 0 ? `${error.what} ${error.whatToDo}` : t('app.noServer');
      return null;
    }
  }
}
