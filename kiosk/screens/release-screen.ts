import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { type Missing, missingForRelease } from '../../server/core/gates/release.ts';
import { ChosenUnit } from '../controllers/chosen-unit.ts';
import { ClockController } from '../controllers/clock.ts';
import { PlantController } from '../controllers/plant.ts';
import { StatingController } from '../controllers/stating.ts';
import { ApiError, ask } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { printPaper, unitPaperPath } from '../data/print-paper.ts';
import { mendedAt, readyByDealer, unreleased } from '../data/release-now.ts';
import { saveReport } from '../data/report-paths.ts';
import type { ScreenParams } from '../data/route.ts';
import { qualityStyles } from '../styles/quality.styles.ts';
import { settleStyles } from '../styles/settle.styles.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { labelsPanel } from './labels-panel.ts';
import { missingText } from './quality-panel.ts';
import { shipList } from './ship-list.ts';
import { unreleasedShips } from './unreleased-ships.ts';

/** Release to ship: what keeps a unit from it in the order in which to mend it, the release and its revocation, and the list of what is ready for the trucks. */
@customElement('sh-release-screen')
export class ReleaseScreen extends LitElement {
  static override styles = [base, stationStyles, qualityStyles, settleStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private loaded: ReadonlySet<string> = new Set();
  private readonly clock = new ClockController(this, 10_000);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);
  private readonly chosen = new ChosenUnit(this, 'release', this.stating);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { row } = this.chosen;
    const waiting = unreleased(view, this.clock.now);
    return html`<header><h1>${t('nav.release')} ${row?.state.unit ?? ''}</h1>${this.stating.badge()}</header>${this.stating.notices()}
      ${unreleasedShips(this.store!, (own, pin) => void this.stating.state('overrideGate', own, undefined, pin))}
      <section>${row ? html`${this.unit(view, row)}${labelsPanel(this.store!, row.state, row.manufactured, () => void this.print(row.state.unit))}` : nothing}
        ${row ? nothing : shipList(readyByDealer(view), this.loaded, {
          load: (unit, on) => this.load(unit, on), ship: (carrier) => void this.ship([...this.loaded], carrier, ''), save: () => void this.save(),
        })}</section>
      <section class="side"><h2>${t('release.waiting', { n: waiting.length })}</h2>
        <div class="grid">${waiting.map(({ row: { state: unit }, missing }) => html`<button aria-pressed=${unit.unit === row?.state.unit} @click=${() => this.chosen.choose(unit.unit)}>${missing.length === 0 ? '✔ ' : '▲ '}${unit.unit}<br /><small>${missing.length === 0 ? t('release.ready') : t('release.missing', { n: missing.length })}</small></button>`)}</div>
        ${this.chosen.chooser([])}
        ${row ? html`<button @click=${() => this.chosen.choose('')}>${t('release.toList')}</button>` : nothing}</section>`;
  }

  private unit(view: Snapshot, row: UnitRow): TemplateResult {
    const { state: unit } = row;
    if (unit.released !== null) return this.released(view, row);
    const missing = missingForRelease(unit, view.plant, this.clock.now);
    const [first, ...rest] = missing;
    const off = unit.stage !== 'yard' && unit.stage !== 'inspection';
    return html`${off ? html`<p class="tag yellow">▲ ${t('release.notYet', { station: unit.place?.station ?? '–' })}</p>` : nothing}
      ${first ? this.mend(view, row, first, true) : html`<button class="main" ?disabled=${off} @click=${() => void this.release(unit.unit)}>${t('unit.release')}<br />${unit.unit}</button>`}
      ${rest.length === 0 ? nothing : html`<h2>${t('release.then')}</h2><ol class="list">${rest.map((one) => html`<li>${this.mend(view, row, one, false)}</li>`)}</ol>`}
      ${this.allTheSame(unit.unit)}`;
  }

  /** One thing that is missing, as the way to where it is mended. */
  private mend(view: Snapshot, row: UnitRow, one: Missing, first: boolean): TemplateResult {
    const path = mendedAt(view.plant.code, row, one);
    const words = missingText(one);
    if (path !== null) return html`<a class="button ${first ? 'main' : ''}" href=${path}>${words}</a>`;
    const item = view.plant.releaseItems?.find(({ name }) => name === one.what)?.code ?? one.what;
    return html`<button class=${first ? 'main' : ''} @click=${() => void this.stating.state('settleItem', { unit: row.state.unit, item, settled: true, note: '' })}>${words}</button>`;
  }

  private released(view: Snapshot, { state: unit }: UnitRow): TemplateResult {
    const { date, time } = localOf(view.plant.timeZone, unit.released!);
    const revoke = (event: SubmitEvent): void => {
      event.preventDefault();
      void this.command(`units/${encodeURIComponent(unit.unit)}/revoke-release`, { reason: said(event, 'reason') }, t('release.revoked', { unit: unit.unit }));
    };
    const ship = (event: SubmitEvent): void => {
      event.preventDefault();
      void this.ship([unit.unit], said(event, 'carrier'), '');
    };
    return html`<p class="tag green">✔ ${t('unit.released', { time: `${date} ${time}` })}</p>
      <form class="form" @submit=${ship}><label>${t('release.truck')}<input name="carrier" required maxlength="100" autocomplete="off" /></label><button class="main">${t('release.ship')}<br />${unit.unit}</button></form>
      <form class="form" @submit=${revoke}><label>${t('release.revokeWhy')}<input name="reason" required maxlength="300" autocomplete="off" /></label><button>${t('release.revoke')}</button></form>`;
  }

  /** A unit that is not released goes only with a reason, said by one who may. */
  private allTheSame(unit: string): TemplateResult {
    const ship = (event: SubmitEvent): void => {
      event.preventDefault();
      void this.ship([unit], said(event, 'carrier'), said(event, 'override'));
    };
    return html`<details><summary>${t('release.allTheSame')}</summary><form class="form" @submit=${ship}>
      <label>${t('release.truck')}<input name="carrier" required maxlength="100" autocomplete="off" /></label>
      <label>${t('release.overrideWhy')}<input name="override" required maxlength="300" autocomplete="off" /></label><button>${t('release.shipUnreleased')}</button></form></details>`;
  }

  private load(unit: string, on: boolean): void {
    const loaded = new Set(this.loaded);
    if (on) loaded.add(unit);
    else loaded.delete(unit);
    this.loaded = loaded;
  }

  private release(unit: string): Promise<void> {
    return this.command(`units/${encodeURIComponent(unit)}/release`, undefined, t('release.done', { unit }));
  }

  private async ship(units: string[], carrier: string, override: string): Promise<void> {
    await this.command('ship', { units, carrier, ...(override === '' ? {} : { override }) }, t('release.shipped', { n: units.length, carrier }));
    this.loaded = new Set([...this.loaded].filter((unit) => !units.includes(unit)));
  }

  private async save(): Promise<void> {
    await saveReport(`/api/plants/${encodeURIComponent(this.store!.plant)}/ship-list.csv`, 'ship-list.csv').catch((error: unknown) => this.refused(error));
  }

  private async print(unit: string): Promise<void> {
    await printPaper(unitPaperPath(this.store!.plant, unit, 'labels')).catch((error: unknown) => this.refused(error));
  }

  /** Commands of the office go to the server alone: it says whether they hold. */
  private async command(path: string, body: unknown, words: string): Promise<void> {
    if (!this.stating.worn()) return;
    try {
      await ask(`/api/plants/${encodeURIComponent(this.store!.plant)}/${path}`, { method: 'POST', body });
      this.stating.say({ kind: 'good', words });
      await this.store!.refresh();
    } catch (error) {
      this.refused(error);
    }
  }

  private refused(error: unknown): void {
    this.stating.say({ kind: 'wrong', words: error instanceof ApiError && error.status !== 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer') });
  }
}

function said(event: SubmitEvent, name: string): string {
  return String(new FormData(event.target as HTMLFormElement).get(name) ?? '').trim();
}
