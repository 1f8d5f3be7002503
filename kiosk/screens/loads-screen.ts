import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { instantOfLocal } from '../../server/core/calendar/zone.ts';
import { LATE_THRESHOLD } from '../../server/core/late.ts';
import type { LoadRow } from '../../server/core/loads/loads-report.ts';
import { LoadsController } from '../controllers/loads.ts';
import { PlantController } from '../controllers/plant.ts';
import { StatingController } from '../controllers/stating.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { saveReport } from '../data/report-paths.ts';
import { type ScreenParams, unitPath } from '../data/route.ts';
import { loadsStyles } from '../styles/loads.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { fileFailed } from './report-parts.ts';
import { goneLoad, type LoadActions, loadCard, type LoadPlace, loadTime, planFields } from './load-card.ts';

/** Which units go with which truck, and whether they will be ready when it comes. */
@customElement('sh-loads-screen')
export class LoadsScreen extends LitElement {
  static override styles = [base, loadsStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private dealer = '';
  @state() private chosen: ReadonlySet<string> = new Set();
  private readonly loads = new LoadsController(this, () => this.store);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);

  override render(): TemplateResult {
    const view = this.store?.view;
    const { told } = this.loads;
    if (!view || !told) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { timeZone: zone, lateThreshold } = view.plant;
    const place: LoadPlace = { plant: view.plant.code, zone, threshold: lateThreshold ?? LATE_THRESHOLD, actions: this.actions() };
    const waiting = told.loads.filter(({ standing }) => standing !== 'gone');
    const gone = told.loads.filter(({ standing }) => standing === 'gone');
    return html`<div class="top"><h1>${t('nav.loads')}</h1>${this.stating.badge()}
        ${(['csv', 'xlsx'] as const).map((ending) => html`<button @click=${() => void this.file(view.plant.code, ending)}>${t(`loads.${ending}`)}</button>`)}</div>
      ${this.stating.notices()}
      <datalist id="carriers">${carriersOf(told.loads).map((carrier) => html`<option value=${carrier}></option>`)}</datalist>
      ${waiting.length === 0 ? html`<p>${t('loads.none')}</p>` : html`<div class="cards">${waiting.map((row) => loadCard(place, row))}</div>`}
      <p class="soft">${told.made === 0 ? nothing : t('loads.made', { time: loadTime(zone, told.made) })}</p>
      ${this.making(view, told.loads)}
      <h2>${t('loads.goneLately')}</h2>${gone.length === 0 ? html`<p>${t('loads.noneGone')}</p>` : html`<ul>${gone.map((row) => goneLoad(place, row))}</ul>`}`;
  }

  private async file(plant: string, ending: 'csv' | 'xlsx'): Promise<void> {
    try {
      await saveReport(`/api/plants/${encodeURIComponent(plant)}/loads.${ending}`, `${plant}-loads.${ending}`);
    } catch (error) {
      this.stating.say({ kind: 'wrong', words: fileFailed(error) });
    }
  }

  private actions(): LoadActions {
    const { stating } = this;
    return {
      call: ({ load }) => void stating.state('callCarrier', { load, note: '' }),
      pickUp: (row) => void this.pickUp(row),
      takeOff: (unit) => void stating.state('putOnLoad', { unit, load: null }),
      cameBack: (unit, reason) => void stating.state('comeBack', { unit, reason }),
      plan: (load, carrier, pickUp, note) => void this.plan(load, carrier, pickUp, note),
    };
  }

  /** What is not released does not go with the truck. */
  private async pickUp({ units, carrier }: LoadRow): Promise<void> {
    for (const { unit, released, shipped } of units) {
      if (released !== null && shipped === null && !(await this.stating.state('ship', { unit, carrier }))) return;
    }
  }

  private async plan(load: string, carrier: string, pickUp: string, note: string): Promise<boolean> {
    const [date = '', time = ''] = pickUp.split('T');
    const at = pickUp === '' ? null : instantOfLocal(this.store!.view!.plant.timeZone, date, time);
    return (await this.stating.state('planLoad', { load, carrier, pickUp: at, note }, () => t('loads.planned', { load }))) !== null;
  }

  private making(view: Snapshot, loads: readonly LoadRow[]): TemplateResult {
    const free = view.units.filter(({ state: { known, load, promise } }) => known && load === null && promise !== null).toSorted(comparePromise);
    const dealers = [...new Set(free.map(({ state: { dealer } }) => dealer))].toSorted();
    const shown = free.filter(({ state: { dealer } }) => this.dealer === '' || dealer === this.dealer);
    const picked = free.filter(({ state: { unit } }) => this.chosen.has(unit));
    return html`<h2>${t('loads.make')}</h2><form class="card" @submit=${(event: SubmitEvent) => void this.make(event, picked)}>
      <div class="form"><label>${t('loads.name')} <input name="load" required maxlength="60" .value=${nextName(loads)} autocomplete="off" /></label>
        ${planFields(view.plant.timeZone, { carrier: '', pickUp: null, note: '' })}
        <button class="main">${t('loads.save')}</button> <span class="soft">${t('loads.chosen', { n: picked.length })}</span></div>
      <h3>${t('loads.units')}</h3>
      ${free.length === 0 ? html`<p>${t('loads.noUnits')}</p>` : html`<label>${t('loads.dealer')} <select @change=${(event: Event) => (this.dealer = (event.target as HTMLSelectElement).value)}>
          <option value="">${t('loads.everyDealer')}</option>${dealers.map((dealer) => html`<option value=${dealer} ?selected=${dealer === this.dealer}>${dealer}</option>`)}</select></label>
        <ul class="choose" tabindex="0" aria-label=${t('loads.units')}>${shown.map((row) => this.choice(view, row))}</ul>`}</form>`;
  }

  private choice({ plant }: Snapshot, { state: { unit, model, dealer, promise, stage } }: UnitRow): TemplateResult {
    const toggle = (): void => {
      const chosen = new Set(this.chosen);
      if (!chosen.delete(unit)) chosen.add(unit);
      this.chosen = chosen;
    };
    return html`<li><label><input type="checkbox" .checked=${this.chosen.has(unit)} @change=${toggle} /> <span class="unit">${unit} ${model}, ${dealer}</span>
      <span class="figures">${t('holds.promise', { date: promise ?? '' })}</span> <span class="soft">${t(`stage.${stage}`)}</span></label> <a href=${unitPath(plant.code, unit)} aria-label=${unit}>↗</a></li>`;
  }

  private async make(event: SubmitEvent, picked: readonly UnitRow[]): Promise<void> {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const said = new FormData(form);
    const load = String(said.get('load')).trim();
    for (const { state: { unit } } of picked) if (!(await this.stating.state('putOnLoad', { unit, load }))) return;
    if (!(await this.plan(load, String(said.get('carrier')).trim(), String(said.get('pickUp')), String(said.get('note')).trim()))) return;
    this.chosen = new Set();
    form.reset();
  }
}

function comparePromise({ state: a }: UnitRow, { state: b }: UnitRow): number {
  return `${a.promise} ${a.unit}` < `${b.promise} ${b.unit}` ? -1 : 1;
}

function carriersOf(loads: readonly LoadRow[]): string[] {
  return [...new Set(loads.map(({ carrier }) => carrier).filter((carrier) => carrier !== ''))].toSorted();
}

/** One more than the largest number that a load's name ends with. */
function nextName(loads: readonly LoadRow[]): string {
  const numbers = loads.flatMap(({ load }) => /^L(\d{1,9})/.exec(load)?.slice(1).map(Number) ?? []);
  return `L${Math.max(0, ...numbers) + 1}`;
}
