import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { judgeCheck } from '../../server/core/gates/check.ts';
import type { Check, CheckItem } from '../../server/core/setup/quality.ts';
import { ChosenUnit } from '../controllers/chosen-unit.ts';
import { ClockController } from '../controllers/clock.ts';
import { PlantController } from '../controllers/plant.ts';
import { StatingController } from '../controllers/stating.ts';
import { ApiError, ask } from '../data/api.ts';
import { answered, type Attempt, keepAttempt, keptAttempt, resultsOf, standOf } from '../data/attempt.ts';
import { labelsInAttempt } from '../data/labels-now.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { checksOf, type UnitCheck, unitsAt, unitsToCheck } from '../data/quality-units.ts';
import { qualityPath, type ScreenParams } from '../data/route.ts';
import { qualityStyles } from '../styles/quality.styles.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { checkItems } from './check-items.ts';
import { editionForm } from './edition-form.ts';
import { caution, limitsTag, standingTag } from './quality-parts.ts';

/** The checks of a unit at a station: an attempt item by item, what it opened, its repair and the next attempt, on one screen. */
@customElement('sh-checks-screen')
export class ChecksScreen extends LitElement {
  static override styles = [base, stationStyles, qualityStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private code: string | null = null;
  @state() private attempt: Attempt = {};
  @state() private opened: ReadonlySet<string> = new Set();
  @state() private confirming: CheckItem | null = null;
  private of = '';
  private readonly clock = new ClockController(this, 10_000);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);
  private readonly chosen = new ChosenUnit(this, 'checks', this.stating);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { row, station } = this.chosen;
    const all = row ? checksOf(view.plant, row.state, this.clock.now) : [];
    const at = this.params?.query['at'] ?? row?.state.place?.station ?? '';
    const here = all.filter(({ check }) => check.station === at);
    const check = this.check(all, here);
    if (row && check) this.take(view, row, check.check);
    return html`<header><h1>${check ? check.check.name : t('nav.checks')} ${row?.state.unit ?? ''}</h1>${this.stating.badge()}</header>${this.stating.notices()}
      ${check ? caution(check.check.caution) : nothing}
      <section>${!row ? html`<p>${this.chosen.serial === '' ? t('work.chooseUnit') : t('quality.notInPlant', { unit: this.chosen.serial })}</p>${this.toCheck(view)}` : check ? this.ofCheck(view, row, check) : html`<p>${t('checks.noneHere')}</p>`}</section>
      <section class="side">${row ? this.list(here, all) : nothing}${this.chosen.chooser(station ? unitsAt(view, station.code) : [])}</section>`;
  }

  /** Every unit that stands where a check of it is to be made, to touch. */
  private toCheck(view: Snapshot): TemplateResult {
    const units = unitsToCheck(view, this.clock.now, this.params?.query['at'] ?? '');
    if (units.length === 0) return html`<p class="tag green">✔ ${t('checks.noneToMake')}</p>`;
    return html`<h2>${t('checks.unitsToMake', { n: units.length })}</h2><ul class="list">${units.map(({ row: { state: unit }, station, left }) => html`<li class=${left.some(({ standing }) => standing === 'failed') ? 'grave' : ''}>
      <div class="choices" style="grid-template-columns: minmax(150px, auto) 1fr; align-items: center"><button @click=${() => this.chosen.choose(unit.unit)}>${unit.unit}<br /><small>${station}</small></button>
      <span>${left.map(({ check, standing }) => html`${check.name} ${standingTag(standing)} `)}</span></div></li>`)}</ul>`;
  }

  /** The check chosen, else the first one at the station that the unit has not passed. */
  private check(all: readonly UnitCheck[], here: readonly UnitCheck[]): UnitCheck | null {
    return all.find(({ check }) => check.code === this.code) ?? here.find(({ standing }) => standing !== 'passed') ?? here[0] ?? null;
  }

  /** Goes on with the attempt that this device kept for another unit or check. */
  private take({ plant }: Snapshot, { state: unit }: UnitRow, check: Check): void {
    const of = JSON.stringify([unit.unit, check.code, check.version]);
    if (of === this.of) return;
    this.of = of;
    this.attempt = keptAttempt(plant.code, unit.unit, check);
    this.opened = new Set();
    this.confirming = null;
  }

  private ofCheck(view: Snapshot, row: UnitRow, { check, state: before, standing }: UnitCheck): TemplateResult {
    if (this.confirming) return this.confirm(check, this.confirming);
    const { left, failed } = standOf(check, this.attempt);
    const ready = Object.keys(this.attempt).length > 0 && (failed || left.length === 0);
    const time = before ? localOf(view.plant.timeZone, before.at) : null;
    return html`<div class="tags">${standingTag(standing)}<span>${t('checks.version', { n: check.version })}</span>
        ${before && time ? html`<span class="soft">${t('checks.before', { n: before.attempts, who: before.who, time: `${time.date} ${time.time}` })}</span>` : nothing}${limitsTag(check, before)}</div>
      ${this.opens(row, check)}
      ${checkItems(check, this.attempt, this.opened, labelsInAttempt(view, row, check, this.attempt), this.store!.photos, {
        answer: (item, result) => this.keep(row, check, { ...this.attempt, [item.code]: result }),
        photo: (item, blob) => void this.photo(row, check, item, blob), confirm: (item) => (this.confirming = item), more: (item) => (this.opened = new Set([...this.opened, item.code])),
      })}
      <button class="main" ?disabled=${!ready} @click=${() => void this.say(row, check)}>${ready ? t(failed ? 'checks.stateFailed' : 'checks.statePassed', { n: (before?.attempts ?? 0) + 1 }) : t('checks.left', { n: left.length })}</button>`;
  }

  /** Work that this check opened and nobody has verified: mended here, and the check made again. */
  private opens({ state: unit }: UnitRow, check: Check): TemplateResult | typeof nothing {
    const open = unit.work.filter(({ ofCheck, status }) => ofCheck?.check === check.code && status !== 'verified');
    if (open.length === 0) return nothing;
    return html`<h2>${t('checks.opened')}</h2><ul class="list">${open.map((one) => html`<li class=${one.severity === 'safety' ? 'grave' : ''}><b>${one.what}</b> ${one.note}
      ${one.status === 'fixed' ? html`<span class="tag blue">◆ ${t('checks.again')}</span>`
        : html`<button @click=${() => void this.stating.state('fixWork', { unit: unit.unit, work: one.id, note: '' })}>${t('checks.mended')}</button>`}</li>`)}</ul>`;
  }

  private list(here: readonly UnitCheck[], all: readonly UnitCheck[]): TemplateResult {
    const one = ({ check, standing }: UnitCheck): TemplateResult => html`<button aria-pressed=${check.code === this.code} @click=${() => (this.code = check.code)}>${check.name}<br /><small>${check.station}</small> ${standingTag(standing)}</button>`;
    const rest = all.filter((other) => !here.includes(other));
    return html`${here.length === 0 ? nothing : html`<h2>${t('checks.here')}</h2><div class="grid">${here.map(one)}</div>`}
      ${rest.length === 0 ? nothing : html`<details><summary>${t('checks.elsewhere', { n: rest.length })}</summary><div class="grid">${rest.map(one)}</div></details>`}`;
  }

  /** Who may says that the limits are those of the code in force. */
  private confirm(check: Check, item: CheckItem): TemplateResult {
    return editionForm({
      title: item.text, words: t('item.confirmWords'), confirm: t('item.confirm'), submit: (edition) => void this.confirmed(check, item, edition), cancel: () => (this.confirming = null),
    });
  }

  private async confirmed({ code }: Check, item: CheckItem, edition: string): Promise<void> {
    if (!this.stating.worn()) return;
    try {
      const path = [this.store!.plant, 'checks', code, 'items', item.code, 'confirm'].map(encodeURIComponent).join('/');
      await ask(`/api/plants/${path}`, { method: 'POST', body: { edition } });
      this.confirming = null;
      await this.store!.refresh();
    } catch (error) {
      this.stating.say({ kind: 'wrong', words: error instanceof ApiError && error.status !== 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer') });
    }
  }

  private keep(row: UnitRow, check: Check, attempt: Attempt): void {
    this.attempt = attempt;
    keepAttempt(this.store!.plant, row.state.unit, check, attempt);
  }

  private async photo(row: UnitRow, check: Check, item: CheckItem, blob: Blob | null): Promise<void> {
    const { photo: _, ...before } = this.attempt[item.code] ?? answered(item, undefined, {});
    const photo = blob ? await this.store!.photos.keep(blob).catch(() => null) : null;
    this.keep(row, check, { ...this.attempt, [item.code]: { ...before, ...(photo ? { photo } : {}) } });
    if (blob && !photo) this.stating.say({ kind: 'wrong', words: t('photo.notKept') });
  }

  private async say(row: UnitRow, check: Check): Promise<void> {
    const results = resultsOf(check, this.attempt);
    const { outcome } = judgeCheck(check, results);
    const fact = await this.stating.state('checkResult', { unit: row.state.unit, check: check.code, version: check.version, results });
    if (!fact) return;
    this.keep(row, check, {});
    this.opened = new Set();
    const words = t(`checks.said.${outcome}`, { check: check.name, unit: row.state.unit });
    this.stating.say({ kind: outcome === 'passed' ? 'good' : outcome === 'failed' ? 'wrong' : 'act', words });
    const at = this.params?.query['at'];
    if (outcome === 'passed' && at && this.params?.query['back'] === 'station') location.assign(qualityPath(this.store!.plant, 'station', { at }));
  }
}
