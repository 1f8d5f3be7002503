import { LitElement, css, html, nothing, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { behind } from '../../server/contract/devices.ts';
import type { Snapshot, StopRow, UnitRow } from '../../server/contract/snapshot.ts';
import type { OpenHoldState } from '../../server/core/facts/unit-state.ts';
import { findStation } from '../../server/core/setup/setup-at.ts';
import { ClockController } from '../controllers/clock.ts';
import { PlantController } from '../controllers/plant.ts';
import { StatingController } from '../controllers/stating.ts';
import { signedInBadge } from '../data/me.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { screenPath, unitPath, type ScreenParams } from '../data/route.ts';
import { workingMinutes } from '../data/visit-now.ts';
import { qualityStyles } from '../styles/quality.styles.ts';
import { stateTag } from '../styles/states.ts';
import { noticeStyles } from '../styles/notice.styles.ts';
import { settleStyles } from '../styles/settle.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { reasonText, statedReason } from '../words/reasons.ts';
import { breachList } from './breach-list.ts';

/** What is open: stops, holds with their age in working minutes, and scanned serials nobody has named. */
@customElement('sh-holds-screen')
export class HoldsScreen extends LitElement {
  static override styles = [base, qualityStyles, settleStyles, noticeStyles, css`
    :host { display: block; padding: 12px; }
    h2 { margin: 0 0 6px; font-size: 1.2em; }
    ul { list-style: none; margin: 0 0 24px; padding: 0; }
    li { display: flex; flex-wrap: wrap; gap: 6px 20px; align-items: center; padding: 10px 0; border-top: 1px solid var(--rule); overflow-wrap: anywhere; }
    li > div { flex: 1 1 16em; min-width: 0; display: flex; flex-wrap: wrap; gap: 6px 20px; align-items: center; }
    .naming { display: flex; flex-wrap: wrap; gap: 8px; align-items: end; }
    .naming label { display: flex; flex-wrap: wrap; gap: 4px 8px; align-items: center; }
    button { min-height: 56px; font-weight: 700; background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
    input { min-height: 56px; max-width: 100%; } .worn { margin: 0 0 12px; } .naming input { width: 12em; }
    @media (max-width: 600px) { li { flex-direction: column; align-items: stretch; } li > div { flex: none; } }
    @media (min-width: 1800px) { :host { font-size: 26px; } }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  private readonly clock = new ClockController(this, 5_000);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const holds = view.units.flatMap((row) => row.state.holds.map((hold) => ({ row, hold }))).toSorted((a, b) => a.hold.opened - b.hold.opened);
    const stops = view.stops.toSorted((a, b) => a.opened - b.opened);
    const unknown = view.units.filter((row) => !row.state.known);
    const late = behind(this.store?.devices ?? []).length;
    return html`
      ${late === 0 ? nothing : html`<p>${stateTag('unsent')} ${t(late === 1 ? 'kiosks.oneBehind' : 'kiosks.behind', { n: late })}. <a href=${screenPath(this.store!.plant, 'kiosks')}>${t('kiosks.see')}</a></p>`}
      ${signedInBadge() === null ? html`<p class="worn">${this.stating.badge()}</p>` : nothing}${this.stating.notices()}
      ${breachList(this.store!, null, (own, pin) => void this.stating.state('overrideGate', own, undefined, pin))}
      <h2>${t('holds.stops')}</h2>${stops.length === 0 ? html`<p>${t('holds.noStops')}</p>` : html`<ul>${stops.map((stop) => this.stop(view, stop))}</ul>`}
      <h2>${t('holds.holds')}</h2>${holds.length === 0 ? html`<p>${t('holds.noHolds')}</p>` : html`<ul>${holds.map(({ row, hold }) => this.hold(view, row, hold))}</ul>`}
      <h2>${t('holds.unknown')}</h2>${unknown.length === 0 ? html`<p>${t('holds.noUnknown')}</p>` : html`<ul>${unknown.map((row) =>
        html`<li><div>${stateTag('flagged')} ${this.unit(row)} <span>${row.state.place?.station}</span></div> ${this.naming(row)}</li>`)}</ul>`}`;
  }

  private stop(view: Snapshot, stop: StopRow): TemplateResult {
    return html`<li><div>${stateTag('stopped')} <b>${stop.station}</b> <span>${reasonText(stop.reason)}</span>
      ${this.age(view, stop.station, stop.opened)} <span>${t('holds.by', { who: stop.who })}</span> ${stop.note ? html`<span>${stop.note}</span>` : nothing}</div>
      <button @click=${() => void this.stating.state('clearStop', { station: stop.station, stop: stop.id, note: '' })}>${t('station.clearStop')}</button></li>`;
  }

  private hold(view: Snapshot, row: UnitRow, hold: OpenHoldState): TemplateResult {
    const what = t(`keepsFrom.${hold.keepsFrom}`, { station: hold.fromStation ?? '' });
    return html`<li><div>${stateTag('held')} ${this.unit(row)} <b>${row.state.place?.station}</b> <span>${reasonText(hold.reason)}</span>
      <span>${t('holds.keepsFrom', { what })}</span> ${this.age(view, row.state.place?.station ?? null, hold.opened)}
      ${row.state.promise === null ? nothing : html`<span>${t('holds.promise', { date: row.state.promise })}</span>`}
      <span>${t('holds.by', { who: hold.who })}</span> ${hold.note ? html`<span>${hold.note}</span>` : nothing}</div>
      <button @click=${() => void this.stating.state('clearHold', { unit: row.state.unit, hold: hold.id, note: '' })}>${t('station.clearHold')}</button></li>`;
  }

  /** Which unit an unknown serial is: from then on what was scanned under it counts as that unit's. */
  private naming(row: UnitRow): TemplateResult {
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const unit = String(new FormData(event.target as HTMLFormElement).get('unit') ?? '').trim();
      if (unit !== '' && unit !== row.state.unit) void this.stating.state('identify', { unit, scanned: row.state.unit, reason: statedReason('reason.named') });
    };
    return html`<form class="naming" @submit=${submit}><label>${t('holds.isUnit')} <input name="unit" required maxlength="100" autocomplete="off" /></label> <button>${t('station.ok')}</button></form>`;
  }

  private unit(row: UnitRow): TemplateResult {
    return html`<a href=${unitPath(this.store?.plant ?? '', row.state.unit)}>${row.state.unit}</a>`;
  }

  /** Working minutes since `opened`, by the station's calendar; nothing for a place without one. */
  private age(view: Snapshot, station: string | null, opened: number): TemplateResult | typeof nothing {
    const line = station === null ? null : findStation(view.plant, station)?.line;
    if (!line || station === null) return nothing;
    const minutes = Math.floor(workingMinutes(view, line.code, station, opened, this.clock.now));
    return html`<span class="figures">${t('holds.age')} ${t('minutes.short', { n: minutes })}</span>`;
  }
}
