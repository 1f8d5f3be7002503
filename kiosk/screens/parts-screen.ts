import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import type { PartState } from '../../server/core/facts/quality-state.ts';
import { partNumberFault, partNumberIn } from '../../server/core/gates/part-number.ts';
import { isFor, type PartKind } from '../../server/core/setup/quality.ts';
import { ChosenUnit } from '../controllers/chosen-unit.ts';
import { PlantController } from '../controllers/plant.ts';
import { StatingController } from '../controllers/stating.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { unitsAt } from '../data/quality-units.ts';
import type { ScreenParams } from '../data/route.ts';
import { qualityStyles } from '../styles/quality.styles.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

/** Components whose numbers are recorded: scanned or typed, held against the form of their kind, taken out again, or taken for another unit. */
@customElement('sh-parts-screen')
export class PartsScreen extends LitElement {
  static override styles = [base, stationStyles, qualityStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private number = '';
  @state() private lot = '';
  /** The kind that is recorded next, when another than the first one was chosen. */
  @state() private kind: string | null = null;
  @state() private removing: PartState | null = null;
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);
  private readonly chosen = new ChosenUnit(this, 'parts', this.stating, (code) => (this.number = code));

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { row, station } = this.chosen;
    return html`<header><h1>${t('nav.parts')} ${row?.state.unit ?? ''}</h1>${this.stating.badge()}</header>${this.stating.notices()}
      <section>${!row ? html`<p>${this.chosen.serial === '' ? t('work.chooseUnit') : t('quality.notInPlant', { unit: this.chosen.serial })}</p>` : this.removing ? this.takingOut(view, row, this.removing) : this.record(view, row)}</section>
      <section class="side">${row ? this.recorded(view, row) : nothing}${this.chosen.chooser(station ? unitsAt(view, station.code) : [])}</section>`;
  }

  /** The kinds that the unit needs, those of this station first, the ones not recorded in front. */
  private kinds({ plant }: Snapshot, { state: unit }: UnitRow): { kind: PartKind; done: boolean }[] {
    const at = this.params?.query['at'] ?? '';
    const done = (kind: PartKind): boolean => unit.parts.some(({ part, lot }) => part === kind.code && (!kind.lot || lot !== ''));
    return (plant.partKinds ?? []).filter((kind) => isFor(kind, unit.model, unit.options)).map((kind) => ({ kind, done: done(kind) }))
      .toSorted((a, b) => Number(a.done) - Number(b.done) || Number(b.kind.station === at) - Number(a.kind.station === at));
  }

  private record(view: Snapshot, row: UnitRow): TemplateResult {
    const kinds = this.kinds(view, row);
    const next = kinds.find(({ kind }) => kind.code === this.kind) ?? kinds.find(({ done }) => !done);
    if (!next) return html`<p class="tag green">✔ ${t('parts.allRecorded')}</p>${this.list(kinds)}`;
    const { kind } = next;
    const number = partNumberIn(kind.format, this.number);
    const fault = number === '' ? null : partNumberFault(kind.format, number);
    const ready = number !== '' && (!kind.lot || this.lot.trim() !== '');
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      void this.say(row, kind, number);
    };
    return html`<form class="form" @submit=${submit}><h2>${kind.station} ${kind.name}</h2>
      <label>${t('parts.number')}<input name="number" maxlength="100" autocomplete="off" .value=${this.number} @input=${(event: Event) => (this.number = (event.target as HTMLInputElement).value)} /></label>
      ${kind.lot ? html`<label>${t('parts.lot')}<input name="lot" maxlength="100" autocomplete="off" .value=${this.lot} @input=${(event: Event) => (this.lot = (event.target as HTMLInputElement).value)} /></label>` : nothing}
      ${fault ? html`<p class="tag yellow">▲ ${t(`parts.fault.${fault}`)}</p>` : number !== '' && kind.format ? html`<p class="tag green">✔ ${t('parts.formGood')}</p>` : nothing}
      <button class="main" ?disabled=${!ready}>${t(fault ? 'parts.recordAllTheSame' : 'parts.record')}<br />${kind.name}</button></form>${this.list(kinds)}`;
  }

  private list(kinds: readonly { kind: PartKind; done: boolean }[]): TemplateResult {
    return html`<div class="grid">${kinds.map(({ kind, done }) => html`<button aria-pressed=${kind.code === this.kind} @click=${() => (this.kind = kind.code)}>${done ? '✔ ' : '□ '}${kind.name}<br /><small>${kind.station}</small></button>`)}</div>`;
  }

  private recorded({ plant }: Snapshot, { state: unit }: UnitRow): TemplateResult {
    const name = (part: string): string => plant.partKinds?.find(({ code }) => code === part)?.name ?? part;
    return html`<h2>${t('parts.inUnit')}</h2><ul class="list">${unit.parts.map((part) => html`<li><div><b>${name(part.part)}</b> ${part.number} ${part.lot} ${part.takenFrom ? t('parts.takenFrom', { unit: part.takenFrom }) : ''}</div>
      <button aria-label="${t('parts.takeOut')}: ${name(part.part)} ${part.number}" @click=${() => (this.removing = part)}>${t('parts.takeOut')}</button></li>`)}
      ${unit.partsOut.map(({ part, number, removed }) => html`<li><span class="soft">${name(part)} ${number}: ${removed.takenFor ? t('parts.takenFor', { unit: removed.takenFor }) : t('parts.takenOut', { reason: removed.reason })}</span></li>`)}</ul>`;
  }

  private takingOut(view: Snapshot, row: UnitRow, part: PartState): TemplateResult {
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const form = new FormData(event.target as HTMLFormElement);
      void this.takeOut(view, row, part, String(form.get('reason')).trim(), String(form.get('for') ?? '').trim());
    };
    return html`<form class="form" @submit=${submit}><h2>${part.part} ${part.number}</h2>
      <label>${t('breach.reason')}<input name="reason" required maxlength="300" autocomplete="off" /></label>
      <label>${t('parts.forUnit')}<input name="for" maxlength="100" autocomplete="off" /></label><p>${t('parts.forWords')}</p>
      <button class="main">${t('parts.takeOut')}</button></form><button @click=${() => (this.removing = null)}>${t('station.cancel')}</button>`;
  }

  /** Taken out for another unit, the part is recorded there: the shortage moves here, and so does the trace. */
  private async takeOut(view: Snapshot, { state: unit }: UnitRow, part: PartState, reason: string, takenFor: string): Promise<void> {
    const to = takenFor === '' ? null : view.units.find(({ state }) => state.unit.toUpperCase() === takenFor.toUpperCase() && state.unit !== unit.unit);
    if (to === undefined) return this.stating.say({ kind: 'wrong', words: t('quality.notInPlant', { unit: takenFor }) });
    const out = await this.stating.state('removePart', { unit: unit.unit, fitted: part.id, reason, ...(to ? { takenFor: to.state.unit } : {}) });
    if (!out) return;
    if (to) {
      await this.stating.state('recordPart', { unit: to.state.unit, part: part.part, number: part.number, lot: part.lot, takenFrom: unit.unit });
      const name = view.plant.partKinds?.find(({ code }) => code === part.part)?.name;
      const short = to.state.shorts.find(({ what }) => what === name && name !== undefined);
      if (short && !short.short.startsWith('removed ')) await this.stating.state('fitShort', { unit: to.state.unit, short: short.short, item: short.item });
    }
    this.removing = null;
  }

  private async say(row: UnitRow, kind: PartKind, number: string): Promise<void> {
    const lot = kind.lot ? this.lot.trim() : '';
    const fact = await this.stating.state('recordPart', { unit: row.state.unit, part: kind.code, number, lot });
    if (!fact) return;
    this.number = '';
    this.kind = null;
  }
}
