import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { ClockController } from '../controllers/clock.ts';
import { PlantController } from '../controllers/plant.ts';
import { StatingController } from '../controllers/stating.ts';
import { type CrewRow, crewRows, crewTotals, headsFor, loansOf, untilInstant } from '../data/crew-now.ts';
import type { PlantStore } from '../data/plant-store.ts';
import type { ScreenParams } from '../data/route.ts';
import { crewStyles } from '../styles/crew.styles.ts';
import { stateMark } from '../styles/states.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { heads } from '../words/heads.ts';
import { statedReason } from '../words/reasons.ts';

/** Heads at the start of the shift, station by station in line order, and who lends whom to whom. */
@customElement('sh-crew-screen')
export class CrewScreen extends LitElement {
  static override styles = [base, stationStyles, crewStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private halves = false;
  @state() private last: Fact | null = null;
  /** What each station was stepped to, while that is on its way to the disk: the next touch steps on from it. */
  private readonly steppedTo = new Map<string, number>();
  private readonly clock = new ClockController(this, 5_000);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const now = Math.max(this.clock.now, this.store!.now());
    const rows = crewRows(view, now);
    const header = html`<header><h1>${t('nav.crew')}</h1>${this.stating.badge()}</header>${this.stating.notices()}`;
    if (rows.length === 0) return html`${header}<p>${t('crew.none')}</p>`;
    const closed = rows.every(({ shift }) => shift === null);
    return html`${header}${closed ? html`<div class="said note" role="status"><span aria-hidden="true">◆</span>${t('crew.noShift')}</div>` : nothing}
      <section>${this.totals(rows)}${this.table(view, rows)}</section>
      <section class="aside">${this.lending(rows, closed)}${this.loans(view, rows, now)}
        <button ?disabled=${!this.last} @click=${() => void this.undo()}>${this.last ? t('station.undo', { what: this.lastWords(this.last) }) : t('station.undoNone')}</button></section>`;
  }

  private totals(rows: readonly CrewRow[]): TemplateResult {
    const { planned, here, short, counted } = crewTotals(rows);
    const rest = rows.filter(({ crew, shift }) => !crew.stated && shift !== null);
    return html`<div class="card"><dl>
        <div><dt>${t('crew.planned')}</dt><dd class="figures">${heads(planned)}</dd></div>
        <div><dt>${t('crew.here')}</dt><dd class="figures">${heads(here)}</dd></div>
        <div><dt>${t('crew.missing')}</dt><dd class="figures">${short > 0 ? stateMark('shortCrew') : nothing} ${heads(short)}</dd></div></dl>
      <span class="soft">${t('crew.counted', { n: counted, all: rows.length })}</span>
      ${rest.length > 0 ? html`<button @click=${() => void this.complete(rest)}>${t('crew.rest', { n: rest.length })}</button>` : nothing}</div>`;
  }

  private table(view: Snapshot, rows: readonly CrewRow[]): TemplateResult {
    const lines = view.plant.lines.filter((line) => rows.some((row) => row.line === line));
    return html`<label class="halves"><input type="checkbox" .checked=${this.halves} @change=${(event: Event) => (this.halves = (event.target as HTMLInputElement).checked)} /> ${t('crew.halves')}</label>
      <table><thead><tr><th scope="col">${t('crew.station')}</th><th scope="col" class="standard">${t('crew.standard')}</th><th scope="col">${t('crew.here')}</th><th scope="col">${t('state.shortCrew')}</th></tr></thead>
      ${lines.map((line) => html`<tbody>${lines.length > 1 ? html`<tr class="line"><th scope="colgroup" colspan="4">${line.name}</th></tr>` : nothing}
        ${rows.filter((row) => row.line === line).map((row) => this.row(row))}</tbody>`)}</table>`;
  }

  private row(row: CrewRow): TemplateResult {
    const { station, crew, lent, shift } = row;
    const words = { station: station.code };
    return html`<tr><th scope="row"><b>${station.code}</b> ${station.name}<span class="beneath"> ${t('crew.standard')}: ${heads(crew.planned)}</span></th><td class="figures standard">${heads(crew.planned)}</td>
      <td><div class="step"><button aria-label=${t(this.halves ? 'crew.lessHalf' : 'crew.less', words)} ?disabled=${!shift || crew.here <= Math.max(0, lent)} @click=${() => void this.step(row, -1)}>−</button>
        <b class="figures">${heads(crew.here)}</b>
        <button aria-label=${t(this.halves ? 'crew.moreHalf' : 'crew.more', words)} ?disabled=${!shift} @click=${() => void this.step(row, 1)}>+</button></div></td>
      <td class="short figures">${crew.short > 0 ? html`${stateMark('shortCrew')} ${heads(crew.short)}` : crew.stated || !shift ? nothing : html`<small class="soft">${t('crew.notCounted')}</small>`}</td></tr>`;
  }

  private lending(rows: readonly CrewRow[], closed: boolean): TemplateResult {
    const stations = rows.map(({ station }) => html`<option value=${station.code}>${station.code} ${station.name}</option>`);
    return html`<form class="card form" @submit=${(event: SubmitEvent) => void this.lend(event)}><h2>${t('crew.lend')}</h2>
      <label>${t('crew.from')} <select name="from"><option value="">${t('crew.elsewhere')}</option>${stations}</select></label>
      <label>${t('crew.to')} <select name="to" required><option value=""></option>${stations}</select></label>
      <label>${t('crew.heads')} <input name="heads" type="number" min="0.5" max="100" step="0.5" value="1" required /></label>
      <label>${t('crew.until')} <input name="until" type="time" /></label>
      <button ?disabled=${closed}>${t('crew.state')}</button></form>`;
  }

  private loans(view: Snapshot, rows: readonly CrewRow[], now: number): TemplateResult {
    const time = (instant: number): string => localOf(view.plant.timeZone, instant).time;
    const loans = loansOf(view, rows, now);
    return html`<div class="card"><h2>${t('crew.loans')}</h2>${loans.length === 0 ? html`<p class="soft">${t('crew.noLoans')}</p>` : html`<ul>${loans.map((loan) => html`<li class="figures">
      ${time(loan.happened)} <b>${t('crew.loan', { heads: heads(loan.heads), from: loan.from ?? t('crew.outside'), to: loan.station })}</b>
      ${loan.until === null ? nothing : t('crew.untilTime', { time: time(loan.until) })}</li>`)}</ul><p class="soft">${t('crew.back')}</p>`}</div>`;
  }

  private async step(row: CrewRow, sign: 1 | -1): Promise<void> {
    const { code } = row.station;
    const before = this.steppedTo.get(code) ?? row.crew.here;
    const wanted = Math.max(0, before + sign * (this.halves ? 0.5 : 1));
    this.steppedTo.set(code, wanted);
    const fact = await this.stating.state('heads', { station: code, heads: headsFor(row, wanted) }, () => `${code}: ${t('crew.headsOf', { here: heads(wanted), planned: heads(row.crew.planned) })}`);
    if (this.steppedTo.get(code) === wanted) this.steppedTo.delete(code);
    if (fact) this.last = fact;
  }

  /** Everybody of the standard crew is there, at each station that nobody has counted yet. */
  private async complete(rest: readonly CrewRow[]): Promise<void> {
    for (const row of rest) {
      const fact = await this.stating.state('heads', { station: row.station.code, heads: row.crew.planned }, () => t('crew.restStated', { n: rest.length }));
      if (!fact) return;
      this.last = fact;
    }
  }

  private async lend(event: SubmitEvent): Promise<void> {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const said = new FormData(form);
    const [from, station] = [String(said.get('from')), String(said.get('to'))];
    if (from === station) return this.stating.say({ kind: 'act', words: t('crew.same') });
    const until = untilInstant(this.store!.view!.plant.timeZone, String(said.get('until') ?? ''), this.store!.now());
    const fact = await this.stating.state('loan', { station, from: from === '' ? null : from, heads: Number(said.get('heads')), until }, (loan) => this.lastWords(loan));
    if (!fact) return;
    this.last = fact;
    form.reset();
  }

  private lastWords(fact: Fact): string {
    if (fact.kind === 'loan') return t('crew.loan', { heads: heads(fact.heads), from: fact.from ?? t('crew.outside'), to: fact.station });
    return fact.kind === 'heads' ? `${fact.station} ${heads(fact.heads)}` : '';
  }

  private async undo(): Promise<void> {
    if (this.last && (await this.stating.state('void', { fact: this.last.id, reason: statedReason('reason.undone') }))) this.last = null;
  }
}
