import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { coverers, type Covering, openIn } from '../../server/core/gates/access.ts';
import { ChosenUnit } from '../controllers/chosen-unit.ts';
import { ClockController } from '../controllers/clock.ts';
import { ForecastController } from '../controllers/forecast.ts';
import { PlantController } from '../controllers/plant.ts';
import { StatingController } from '../controllers/stating.ts';
import { type Countdown, countdowns } from '../data/access-now.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { unitsAt } from '../data/quality-units.ts';
import type { ScreenParams } from '../data/route.ts';
import { qualityStyles } from '../styles/quality.styles.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { settleStyles } from '../styles/settle.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { breachList, type Override } from './breach-list.ts';
import { unreleasedShips } from './unreleased-ships.ts';

const LISTED = 60;

/** Zones that stations close over open work (definitions §8, access): the sign-off of covering, how long each thing can still be reached, and gates that were passed. */
@customElement('sh-access-screen')
export class AccessScreen extends LitElement {
  static override styles = [base, stationStyles, qualityStyles, settleStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  /** The zone that will be covered over open work once that is said twice. */
  @state() private sure: string | null = null;
  @state() private opening: string | null = null;
  private readonly clock = new ClockController(this, 10_000);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly forecast = new ForecastController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);
  private readonly chosen = new ChosenUnit(this, 'access', this.stating);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const { row, station } = this.chosen;
    const here = station ? unitsAt(view, station.code) : [];
    const override: Override = (own, pin) => void this.stating.state('overrideGate', own, undefined, pin);
    return html`<header><h1>${t('nav.access')} ${row?.state.unit ?? ''}</h1>${this.stating.badge()}</header>${this.stating.notices()}
      ${row ? nothing : unreleasedShips(this.store!, override)}
      <section>${row ? this.zones(view, row) : html`<p>${this.chosen.serial === '' ? t('work.chooseUnit') : t('quality.notInPlant', { unit: this.chosen.serial })}</p>`}
        ${this.countdown(view, row ? countdowns(view, [row]) : countdowns(view).slice(0, LISTED), row !== null)}</section>
      <section class="side">${breachList(this.store!, row?.state.unit ?? null, override)}${this.chosen.chooser(here)}</section>`;
  }

  /** The zones of the unit; those that this station covers first and biggest. */
  private zones(view: Snapshot, row: UnitRow): TemplateResult {
    const all = view.plant.zones ?? [];
    if (all.length === 0) return html`<p>${t('access.noZones')}</p>`;
    const own = this.chosen.station?.covers ?? [];
    const rest = all.filter(({ code }) => !own.includes(code));
    return html`${own.map((code) => this.cover(view, row, code))}
      <div class="table"><table><tbody>${rest.map(({ code, name }) => html`<tr><th scope="row">${name}</th><td>${row.state.covered.includes(code) ? html`<span class="tag">■ ${t('access.covered')}</span>` : html`<span class="tag green">✔ ${t('access.open')}</span>`}</td>
        <td>${t('access.by', { stations: coverers(view.plant, code).join(', ') || '–' })}</td></tr>`)}</tbody></table></div>`;
  }

  private cover(view: Snapshot, row: UnitRow, code: string): TemplateResult {
    const { state: unit } = row;
    const zone = view.plant.zones?.find((one) => one.code === code)?.name ?? code;
    const open = openIn(unit, code);
    const station = this.chosen.station!.code;
    const state = (): void => void this.stating.state('coverZones', { unit: unit.unit, station, zones: [code] }).then(() => (this.sure = null));
    if (unit.covered.includes(code)) return html`<div class="card"><b>${zone}</b><span class="tag">■ ${t('access.covered')}</span>${this.uncover(unit.unit, code)}</div>`;
    if (open.length === 0) return html`<button class="main" @click=${state}>${t('access.cover', { zone })}<br />${unit.unit}</button>`;
    return html`<div class="card" style="border-color: var(--red-line)"><b>${t('access.stillOpen', { zone })}</b><ul>${open.map(({ what, kind }) => html`<li>${kind === 'short' ? t('access.short', { what }) : what}</li>`)}</ul>
      ${this.sure === code ? html`<p>${t('access.sure')}</p><div class="choices"><button @click=${state}>${t('access.coverAnyway')}</button><button @click=${() => (this.sure = null)}>${t('station.cancel')}</button></div>`
        : html`<button @click=${() => (this.sure = code)}>${t('access.coverOver', { zone })}</button>`}</div>`;
  }

  private uncover(unit: string, code: string): TemplateResult {
    if (this.opening !== code) return html`<button @click=${() => (this.opening = code)}>${t('access.openAgain')}</button>`;
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const reason = String(new FormData(event.target as HTMLFormElement).get('reason')).trim();
      void this.stating.state('uncoverZones', { unit, zones: [code], reason }).then(() => (this.opening = null));
    };
    return html`<form class="form" @submit=${submit}><label>${t('breach.reason')}<input name="reason" required maxlength="300" autocomplete="off" /></label><button>${t('access.openAgain')}</button></form>`;
  }

  private countdown(view: Snapshot, rows: readonly Countdown[], ofUnit: boolean): TemplateResult | typeof nothing {
    if (rows.length === 0) return ofUnit ? nothing : html`<p class="tag green">✔ ${t('access.nothing')}</p>`;
    const zone = (code: string): string => view.plant.zones?.find((one) => one.code === code)?.name ?? code;
    return html`<h2>${t('access.countdown')}</h2><ul class="list">${rows.map(({ row: { state: unit }, open, next, covered, at }) => html`<li class=${covered || next?.stations === 0 ? 'grave' : ''}>
      <div>${ofUnit ? nothing : html`<button @click=${() => this.chosen.choose(unit.unit)}>${unit.unit}<br /><small>${unit.place?.station ?? ''}</small></button>`} <b>${open.kind === 'short' ? t('access.short', { what: open.what }) : open.what}</b> ${zone(open.zone)}</div>
      <div class="tags">${covered ? html`<span class="tag red">⬣ ${t('access.covered')}</span>` : next === null ? html`<span>${t('access.notAhead')}</span>` : html`<span class="tag ${next.stations === 0 ? 'red' : 'yellow'}">▲ ${next.stations === 0 ? t('access.now', { station: next.station }) : t('access.left', { n: next.stations, station: next.station })}</span>
        ${this.until(view, unit.unit, next, at)}`}</div></li>`)}</ul>`;
  }

  /** The minutes left: as forecast, else as the line stands; at standard is the least. */
  private until(view: Snapshot, unit: string, { station, minutes }: Covering, at: number | null): TemplateResult {
    const told = this.forecast.told?.units.find((row) => row.unit === unit)?.covering?.find((one) => one.station === station);
    const least = html`<span class="soft">${t('access.minutes', { n: Math.round(minutes) })}</span>`;
    if (told) return html`<b>${t('access.forecast', { n: Math.round(told.minutes), time: when(view, told.at, this.clock.now) })}</b>${least}`;
    return html`${least}${at === null ? nothing : html`<span>${t('access.about', { time: when(view, at, this.clock.now) })}</span>`}`;
  }
}

function when({ plant }: Snapshot, at: number, now: number): string {
  const [then, today] = [localOf(plant.timeZone, at), localOf(plant.timeZone, now)];
  return then.date === today.date ? then.time : `${then.date} ${then.time}`;
}
