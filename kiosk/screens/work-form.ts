import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { CommonFindingsReply } from '../../server/contract/replies.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { DRAWINGS, type Spot } from '../../server/core/facts/quality-facts.ts';
import { type CommonFinding, commonestFindings, RECENT_MS, RECENT_WEEKS } from '../../server/core/rates/commonest-findings.ts';
import type { Severity } from '../../server/core/setup/quality.ts';
import { qualityStyles } from '../styles/quality.styles.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import '../elements/unit-drawing.ts';
import './photo-taker.ts';

/** What somebody found, before it is stated. */
export interface Finding {
  what: string;
  zone: string | null;
  severity: Severity;
  belongsTo: string | null;
  spots: Spot[];
  photo: Blob | null;
}

const COMMON = 6;
const SEVERITIES: readonly Severity[] = ['minor', 'major', 'safety'];

/** Says what was found on a unit: what was found most at the station first, then anything else. Fires `found` with a `Finding`. */
@customElement('sh-work-form')
export class WorkForm extends LitElement {
  static override styles = [base, stationStyles, qualityStyles];

  @property({ attribute: false }) view: Snapshot | null = null;
  /** Station whose work it is until another one is chosen. */
  @property({ attribute: false }) station: string | null = null;
  /** What was found most by station, over the whole log; null while the server has not said: then of the units in the plant. */
  @property({ attribute: false }) common: CommonFindingsReply | null = null;
  @state() private what = '';
  @state() private zone: string | null = null;
  @state() private severity: Severity = 'major';
  @state() private belongsTo: string | null | undefined = undefined;
  @state() private spots: Spot[] = [];
  private photo: Blob | null = null;

  override render(): TemplateResult | typeof nothing {
    const { view } = this;
    if (!view) return nothing;
    const owner = this.belongsTo === undefined ? this.station : this.belongsTo;
    const common = owner === null ? [] : this.common ? (this.common.stations[owner] ?? []) : commonestFindings(view.units.map((row) => row.state), owner, view.at - RECENT_MS, COMMON);
    const stations = view.plant.lines.flatMap(({ stations: own }) => own);
    return html`<section><h2>${t('work.what')}</h2>
        ${common.length === 0 ? nothing : html`<fieldset><legend>${t('work.common', { station: owner! })}</legend><div class="grid">${common.map((one) => this.commonButton(one))}</div></fieldset>`}
        <label class="form">${t('work.whatElse')}<input name="what" maxlength="300" autocomplete="off" .value=${this.what} @input=${(event: Event) => (this.what = (event.target as HTMLInputElement).value)} /></label>
        <fieldset><legend>${t('work.severity')}</legend><div class="choices">${SEVERITIES.map((one) => html`<button aria-pressed=${one === this.severity} @click=${() => (this.severity = one)}>${t(`severity.${one}`)}</button>`)}</div></fieldset>
        ${view.plant.zones?.length ? html`<fieldset><legend>${t('work.zone')}</legend><div class="choices">
          ${[null, ...view.plant.zones].map((one) => html`<button aria-pressed=${(one?.code ?? null) === this.zone} @click=${() => (this.zone = one?.code ?? null)}>${one?.name ?? t('work.noZone')}</button>`)}</div></fieldset>` : nothing}
        <label class="form">${t('work.belongsTo')}<select @change=${(event: Event) => (this.belongsTo = (event.target as HTMLSelectElement).value || null)}>
          <option value="" ?selected=${owner === null}>${t('station.notSaid')}</option>${stations.map(({ code, name }) => html`<option value=${code} ?selected=${code === owner}>${code} ${name}</option>`)}</select></label></section>
      <section><button class="main" ?disabled=${this.what.trim() === ''} @click=${this.state}>${t('work.state')}</button>
        <fieldset><legend>${t('work.where')}</legend><div class="views">${DRAWINGS.map((drawing) => html`<div><small>${t(`drawing.${drawing}`)}</small>
          <sh-unit-drawing pointing .drawing=${drawing} .name=${t(`drawing.${drawing}`)} .marks=${this.spots.map((spot) => ({ spot, label: '✕', grave: this.severity === 'safety' }))}
            @spot=${(event: CustomEvent<Spot>) => (this.spots = [event.detail])}></sh-unit-drawing></div>`)}</div></fieldset>
        <sh-photo-taker @photo=${(event: CustomEvent<Blob | null>) => (this.photo = event.detail)}></sh-photo-taker>
        <button @click=${() => this.dispatchEvent(new CustomEvent('cancelled'))}>${t('station.cancel')}</button></section>`;
  }

  private commonButton({ what, zone, severity, found, recent }: CommonFinding): TemplateResult {
    return html`<button aria-pressed=${what === this.what} @click=${() => Object.assign(this, { what, zone, severity })}>${what}<br /><small>${t('work.foundTimes', { n: found, recent, weeks: RECENT_WEEKS })}</small></button>`;
  }

  private readonly state = (): void => {
    const { zone, severity, spots, photo } = this;
    const belongsTo = this.belongsTo === undefined ? this.station : this.belongsTo;
    this.dispatchEvent(new CustomEvent<Finding>('found', { detail: { what: this.what.trim(), zone, severity, belongsTo, spots, photo } }));
  };
}
