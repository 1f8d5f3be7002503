import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { CampaignRow, CampaignUnit, TraceReply } from '../../server/contract/trace.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { TraceRow } from '../../server/core/trace/which-units.ts';
import { PlantController } from '../controllers/plant.ts';
import { ReportController } from '../controllers/report.ts';
import { StatingController } from '../controllers/stating.ts';
import { ApiError, ask } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { saveReport } from '../data/report-paths.ts';
import { screenPath, type ScreenParams, unitPath } from '../data/route.ts';
import { qualityStyles } from '../styles/quality.styles.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

const FIELDS = ['part', 'from', 'to', 'lot', 'builtFrom', 'builtTo'] as const;

/** Which units have a component, where they are and to whom they went; campaigns over them, signed unit by unit. */
@customElement('sh-trace-screen')
export class TraceScreen extends LitElement {
  static override styles = [base, stationStyles, qualityStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private calling = false;
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);
  private readonly found = new ReportController<TraceReply>(this, () => (this.query === '' ? null : `${this.path('which-units')}?${this.query}`));
  // The version makes it ask again when something changed.
  private readonly campaigns = new ReportController<{ campaigns: CampaignRow[] }>(this, () => (this.store?.view ? `${this.path('campaigns')}?version=${this.store.view.version}` : null));

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const problem = this.found.problem || this.campaigns.problem;
    return html`<header><h1>${t('nav.trace')}</h1>${this.stating.badge()}</header>${this.stating.notices()}
      ${problem ? html`<div class="said wrong" role="alert"><span aria-hidden="true">✖</span>${problem}</div>` : nothing}
      <section style="grid-column: 1 / -1">${this.form(view)}${this.query === '' || !this.found.told ? nothing : this.rows(view, this.found.told)}
        ${(this.campaigns.told?.campaigns ?? []).map((row) => this.campaign(view, row))}</section>`;
  }

  private get query(): string {
    const query = this.params?.query ?? {};
    return new URLSearchParams(FIELDS.flatMap((field) => (query[field] ? [[field, query[field]]] : []))).toString();
  }

  private path(of: string): string {
    return `/api/plants/${encodeURIComponent(this.store?.plant ?? '')}/${of}`;
  }

  private form({ plant }: Snapshot): TemplateResult {
    const query = this.params?.query ?? {};
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const form = new FormData(event.target as HTMLFormElement);
      const asked = new URLSearchParams(FIELDS.flatMap((field) => (String(form.get(field) ?? '').trim() === '' ? [] : [[field, String(form.get(field)).trim()]])));
      location.assign(`${screenPath(plant.code, 'trace')}?${asked.toString()}`);
    };
    const field = (name: 'from' | 'to' | 'lot' | 'builtFrom' | 'builtTo', type: 'text' | 'date'): TemplateResult => html`<label>${t(`trace.${name}`)}<input name=${name} type=${type} maxlength="100" autocomplete="off" .value=${query[name] ?? ''} /></label>`;
    return html`<form @submit=${submit} class="form"><div class="choices"><label>${t('trace.part')}<select name="part"><option value="">${t('trace.any')}</option>${(plant.partKinds ?? []).map(({ code, name }) => html`<option value=${code} ?selected=${code === query['part']}>${name}</option>`)}</select></label>
      ${field('from', 'text')}${field('to', 'text')}${field('lot', 'text')}${field('builtFrom', 'date')}${field('builtTo', 'date')}</div><button class="main">${t('trace.ask')}</button></form>`;
  }

  private rows(view: Snapshot, { rows, left }: TraceReply): TemplateResult {
    const name = (part: string | null): string => view.plant.partKinds?.find(({ code }) => code === part)?.name ?? part ?? '';
    return html`<h2>${t('trace.found', { n: new Set(rows.map(({ unit }) => unit)).size })}${left > 0 ? ` ${t('trace.left', { n: left })}` : ''}</h2>
      ${rows.length === 0 ? nothing : html`<div class="table" tabindex="0" role="region" aria-label=${t('trace.found', { n: rows.length })}><table><thead><tr><th>${t('trace.part')}</th><th>${t('parts.number')}</th><th>${t('parts.lot')}</th><th>${t('trace.unit')}</th><th>VIN</th><th>${t('trace.now')}</th><th>${t('trace.shipped')}</th></tr></thead>
        <tbody>${rows.map((row) => html`<tr><td>${name(row.part)}</td><td>${row.number} ${trail(row)}</td><td>${row.lot}</td><td><a href=${unitPath(view.plant.code, row.unit)}>${row.unit}</a></td><td>${row.vin}</td>
          <td>${t(`trace.stage.${row.stage}`)} ${row.where ?? ''}</td><td>${row.shipped === null ? '' : `${localOf(view.plant.timeZone, row.shipped).date} ${row.dealer} ${row.carrier}`}</td></tr>`)}</tbody></table></div>
        <div class="choices"><button @click=${() => void saveReport(`${this.path('which-units.csv')}?${this.query}`, 'which-units.csv').catch((error: unknown) => this.refused(error))}>${t('release.csv')}</button>
          <button @click=${() => (this.calling = !this.calling)}>${t('campaign.open')}</button></div>${this.calling ? this.call() : nothing}`}`;
  }

  private call(): TemplateResult {
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const form = new FormData(event.target as HTMLFormElement);
      const said = (name: string): string => String(form.get(name) ?? '').trim();
      const of = Object.fromEntries(new URLSearchParams(this.query));
      void this.openCampaign({ code: said('code'), title: said('title'), steps: said('steps').split('\n').map((step) => step.trim()).filter((step) => step !== ''), of });
    };
    return html`<form class="form card" @submit=${submit}><h2>${t('campaign.open')}</h2><label>${t('campaign.code')}<input name="code" required maxlength="100" autocomplete="off" /></label>
      <label>${t('campaign.title')}<input name="title" required maxlength="300" autocomplete="off" /></label><label>${t('campaign.steps')}<textarea name="steps" required rows="3" maxlength="3000"></textarea></label><button class="main">${t('campaign.callIn')}</button></form>`;
  }

  private async openCampaign(body: object): Promise<void> {
    if (!this.stating.worn()) return;
    try {
      await ask(this.path('campaigns'), { method: 'POST', body });
      this.calling = false;
      await this.store!.refresh();
    } catch (error) {
      this.refused(error);
    }
  }

  private campaign(view: Snapshot, row: CampaignRow): TemplateResult {
    return html`<details ?open=${row.done < row.units.length}><summary><b>${row.campaign} ${row.title}</b> ${t('campaign.done', { done: row.done, all: row.units.length })}</summary>
      <ul class="list">${row.units.map((unit) => html`<li class=${unit.steps.every(({ done }) => done) ? 'good' : ''}><div><a href=${unitPath(view.plant.code, unit.unit)}><b>${unit.unit}</b></a> ${t(`trace.stage.${unit.stage}`)} ${unit.where ?? ''} ${unit.shipped === null ? '' : unit.dealer}</div>${this.steps(row, unit)}</li>`)}</ul>
      <button @click=${() => void saveReport(`${this.path('campaigns')}/${encodeURIComponent(row.campaign)}/units.csv`, 'campaign.csv').catch((error: unknown) => this.refused(error))}>${t('release.csv')}</button></details>`;
  }

  private steps({ campaign }: CampaignRow, { unit, steps }: CampaignUnit): TemplateResult {
    return html`<div class="choices">${steps.map(({ text, done }, step) => (done ? html`<span class="tag green">✔ ${text}: ${done.who}</span>`
      : html`<button aria-label="${t('campaign.sign', { step: text })} ${unit}" @click=${() => void this.stating.state('signStep', { unit, campaign, step, note: '' })}>${t('campaign.sign', { step: text })}</button>`))}</div>`;
  }

  private refused(error: unknown): void {
    this.stating.say({ kind: 'wrong', words: error instanceof ApiError && error.status !== 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer') });
  }
}

function trail({ removed, takenFor, takenFrom }: TraceRow): string {
  const from = takenFrom === null ? '' : t('parts.takenFrom', { unit: takenFrom });
  return removed === null ? from : `${from} ${takenFor === null ? t('trace.removed') : t('parts.takenFor', { unit: takenFor })}`;
}
