import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { CommonFindingsReply } from '../../server/contract/replies.ts';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import type { WorkState } from '../../server/core/facts/quality-state.ts';
import { openWork } from '../../server/core/gates/access.ts';
import { ChosenUnit } from '../controllers/chosen-unit.ts';
import { ClockController } from '../controllers/clock.ts';
import { PlantController } from '../controllers/plant.ts';
import { ReportController } from '../controllers/report.ts';
import { StatingController } from '../controllers/stating.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { who } from '../data/preferences.ts';
import { unitsAt, unitsWithWork } from '../data/quality-units.ts';
import type { ScreenParams } from '../data/route.ts';
import { qualityStyles } from '../styles/quality.styles.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import type { Finding } from './work-form.ts';
import { workDrawings, workList } from './work-list.ts';
import './photo-taker.ts';
import './work-form.ts';

const LISTED = 40;

/** Open work of a unit: found, fixed, verified by another person or open again; without a unit, all units that have some. */
@customElement('sh-work-screen')
export class WorkScreen extends LitElement {
  static override styles = [base, stationStyles, qualityStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private finding = false;
  /** The work that is being fixed or opened again, while its words are said. */
  @state() private step: { kind: 'fix' | 'reopen'; work: WorkState } | null = null;
  private photo: Blob | null = null;
  private readonly clock = new ClockController(this, 10_000);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);
  private readonly common = new ReportController<CommonFindingsReply>(this, () => (this.finding && this.store ? `/api/plants/${encodeURIComponent(this.store.plant)}/common-findings` : null));
  private readonly chosen = new ChosenUnit(this, 'work', this.stating);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { row, station } = this.chosen;
    const header = html`<header><h1>${t('nav.work')} ${row?.state.unit ?? ''}</h1>${this.stating.badge()}</header>${this.stating.notices()}${this.photos()}`;
    if (row && this.finding) {
      return html`${header}<sh-work-form style="grid-column: 1 / -1; padding: 0" .view=${view} .common=${this.common.told} .station=${station?.code ?? row.state.place?.station ?? null}
        @found=${(event: CustomEvent<Finding>) => void this.found(row, event.detail)} @cancelled=${() => (this.finding = false)}></sh-work-form>`;
    }
    if (row && this.step) return html`${header}<section class="panel">${this.stepPanel(row, this.step)}</section>`;
    const here = station ? unitsAt(view, station.code) : [];
    return html`${header}<section>${row ? this.ofUnit(view, row) : html`<p>${this.chosen.serial === '' ? t('work.chooseUnit') : t('quality.notInPlant', { unit: this.chosen.serial })}</p>${this.all(view)}`}</section>
      <section class="side">${row ? workDrawings(row.state.work) : nothing}${this.chosen.chooser(here)}${row ? this.others(view, row) : nothing}</section>`;
  }

  private ofUnit(view: Snapshot, row: UnitRow): TemplateResult {
    return html`<button class="main" @click=${() => this.beginFinding()}>${t('work.find')}<br />${row.state.unit}</button>
      ${workList(view, row, this.store!.photos, { fix: (work) => this.begin('fix', work), verify: (work) => void this.verify(row, work), reopen: (work) => this.begin('reopen', work) })}`;
  }

  /** Every unit with open work; that of the device's own station first. */
  private all(view: Snapshot): TemplateResult {
    const own = this.params?.query['at'] ?? '';
    const ofStation = own === '' ? [] : unitsWithWork(view, own);
    const rest = unitsWithWork(view, null).slice(0, LISTED);
    const list = (title: string, rows: typeof rest): TemplateResult => html`<h2>${title}</h2>${rows.length === 0 ? html`<p>✔ ${t('work.noneAnywhere')}</p>` : html`<ul class="list">${rows.map(({ row, open }) => html`<li class=${open[0]!.severity === 'safety' ? 'grave' : ''}>
      <div class="choices" style="grid-template-columns: minmax(150px, auto) 1fr; align-items: center"><button @click=${() => this.chosen.choose(row.state.unit)}>${row.state.unit}<br /><small>${row.state.place?.station ?? ''}</small></button>
      <span>${t('work.count', { n: open.length })}: ${open.map(({ what }) => what).join('; ')}</span></div></li>`)}</ul>`}`;
    return html`${own === '' ? nothing : list(t('work.ofStation', { station: own }), ofStation)}${list(t('work.everywhere'), rest)}`;
  }

  private others(view: Snapshot, row: UnitRow): TemplateResult | typeof nothing {
    const others = unitsWithWork(view, null).filter((one) => one.row !== row).slice(0, 6);
    return others.length === 0 ? nothing : html`<h2>${t('work.everywhere')}</h2><div class="grid">${others.map(({ row: { state: other }, open }) => html`<button @click=${() => this.chosen.choose(other.unit)}>${other.unit}<br /><small>${t('work.count', { n: open.length })}</small></button>`)}</div>`;
  }

  private photos(): TemplateResult | typeof nothing {
    const { unsent, refused } = this.store!.photos;
    return html`${unsent > 0 ? html`<div class="said note" role="status"><span aria-hidden="true">■</span>${t('photo.unsent', { n: unsent })}</div>` : nothing}
      ${refused === '' ? nothing : html`<div class="said wrong" role="alert"><span aria-hidden="true">✖</span>${t('photo.refused', { what: refused })}</div>`}`;
  }

  private beginFinding(): void {
    this.finding = true;
    this.common.again();
  }

  private begin(kind: 'fix' | 'reopen', work: WorkState): void {
    this.photo = null;
    this.step = { kind, work };
  }

  private stepPanel(row: UnitRow, { kind, work }: { kind: 'fix' | 'reopen'; work: WorkState }): TemplateResult {
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      void this.stated(row, kind, work, String(new FormData(event.target as HTMLFormElement).get('note') ?? '').trim());
    };
    return html`<form class="form" @submit=${submit}><h2>${work.what}</h2>
      <label>${t(kind === 'fix' ? 'work.fixNote' : 'work.reopenWhy')}<input name="note" maxlength="300" autocomplete="off" ?required=${kind === 'reopen'} /></label>
      <button class="main">${t(kind === 'fix' ? 'work.fix' : 'work.reopen')}</button></form>
      ${kind === 'fix' ? html`<sh-photo-taker @photo=${(event: CustomEvent<Blob | null>) => (this.photo = event.detail)}></sh-photo-taker>` : nothing}
      <button @click=${() => (this.step = null)}>${t('station.cancel')}</button>`;
  }

  private async found({ state: { unit } }: UnitRow, { photo: blob, spots, ...finding }: Finding): Promise<void> {
    if (!this.stating.worn()) return;
    const photo = await this.keep(blob);
    const fact = await this.stating.state('findWork', { unit, ...finding, ...(spots.length > 0 ? { spots } : {}), ...(photo ? { photo } : {}) });
    if (fact) this.finding = false;
    if (fact && blob && !photo) this.stating.say({ kind: 'wrong', words: t('photo.notKept') });
  }

  private async stated({ state: { unit } }: UnitRow, kind: 'fix' | 'reopen', { id: work }: WorkState, note: string): Promise<void> {
    if (!this.stating.worn()) return;
    const photo = kind === 'fix' ? await this.keep(this.photo) : null;
    const fact = kind === 'fix' ? await this.stating.state('fixWork', { unit, work, note, ...(photo ? { photo } : {}) }) : await this.stating.state('reopenWork', { unit, work, reason: note });
    if (fact) this.step = null;
    if (fact && kind === 'fix' && this.photo && !photo) this.stating.say({ kind: 'wrong', words: t('photo.notKept') });
  }

  /** The photo's id once it is on this device's disk; null where there is none, or no room: then the fact is stated without it, and that is said. */
  private async keep(blob: Blob | null): Promise<string | null> {
    return blob ? this.store!.photos.keep(blob).catch(() => null) : null;
  }

  private async verify(row: UnitRow, work: WorkState): Promise<void> {
    if (work.fixed?.who === who()) return this.stating.say({ kind: 'act', words: t('work.otherPerson') });
    await this.stating.state('verifyWork', { unit: row.state.unit, work: work.id, note: '' });
    if (openWork(this.chosen.row?.state.work ?? []).length === 0) this.step = null;
  }
}
