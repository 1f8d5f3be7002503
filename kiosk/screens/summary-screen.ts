import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { SUMMARY_TABLES, type SummaryTable } from '../../server/contract/shift-summary-tables.ts';
import type { ShiftSummaryReply, ToldShift } from '../../server/contract/shift-summary.ts';
import { instantOfLocal } from '../../server/core/calendar/zone.ts';
import { PlantController } from '../controllers/plant.ts';
import { SummaryController } from '../controllers/summary.ts';
import { ApiError, fetchSummaryFile } from '../data/api.ts';
import { OwnWords, withOwnWords } from '../data/own-words.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { chooseWho, who } from '../data/preferences.ts';
import type { ScreenParams } from '../data/route.ts';
import { saveFile } from '../data/save-file.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';
import { countsSection, delaySection } from './summary-figures.ts';
import { headsSection, openSections } from './summary-lists.ts';
import { type SummaryText, summaryText } from './summary-text.ts';
import { actionsSection, notesSection, type Stating } from './summary-words.ts';
import { refusedText } from './refused-notices.ts';
import { summaryStyles } from './summary.styles.ts';

/** A shift of a line on one page, for the morning meeting: on a screen, and on one sheet of paper. */
@customElement('sh-summary-screen')
export class SummaryScreen extends LitElement {
  static override styles = [base, summaryStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  /** What is asked for; '' leaves it to the plant (its first main line) and the server (the shift now). */
  @state() private line = '';
  @state() private date = '';
  @state() private shift = '';
  @state() private wrong = '';
  private readonly plant = new PlantController(this, () => this.store);
  private readonly summary = new SummaryController(this);
  private readonly own = new OwnWords();

  /** Follows the plant's log: what this device said stays on the page until a summary holds it. */
  protected override willUpdate(changed: PropertyValues<this>): void {
    const { store } = this;
    if (changed.has('params')) {
      const { line = '', date = '', shift = '' } = this.params?.query ?? {};
      [this.line, this.date, this.shift] = [line, date, shift];
    }
    const view = store?.view;
    if (!store || !view) return;
    const line = this.line || (view.plant.lines.find(({ purpose }) => purpose === 'main') ?? view.plant.lines[0])?.code;
    if (line !== undefined) this.summary.ask({ plant: store.plant, line, date: this.date, shift: this.shift });
    const shown = this.summary.reply?.version ?? 0;
    this.own.update(store.outbox.ownFacts(view.version), new Set(store.outbox.refused().map(({ fact }) => fact.id)), view.version, shown);
    if (this.summary.reply && this.own.wantsSummaryAfter(shown)) this.summary.moved(Number.POSITIVE_INFINITY);
    else this.summary.moved(view.version);
  }

  override render(): TemplateResult {
    const { reply, trouble } = this.summary;
    const live = this.store?.live.live ?? true;
    if (!reply && trouble && trouble.status !== 0) return html`<p role="alert" class="wrong">${t('error.other', { what: trouble.what })}</p>${this.way(null)}`;
    if (!reply) return html`<p role="status">${t(trouble || !live ? 'app.noServer' : 'app.loading')}</p>`;
    const text = summaryText(reply.plant.timeZone, reply.told?.at ?? reply.now);
    const { told, shift } = reply;
    return html`${this.bar(reply)}${trouble && trouble.status !== 0 ? html`<p role="alert" class="wrong screen">${t('error.other', { what: trouble.what })}</p>` : nothing}
      ${this.sending()}
      <header><h1>${shift ? t('summary.of', { line: reply.line.name, shift: shift.name, date: text.date(shift.date) }) : `${reply.line.name}, ${text.date(reply.date)}`}</h1>
        <span class="soft">${reply.plant.name}${told ? `, ${t('summary.asOf', { time: text.dayAndTime(told.at) })}` : ''}</span></header>
      ${told ? this.page(reply, withOwnWords(told, reply.line.code, told.current ? this.own.words() : []), text) : html`<p>${t(shift ? 'summary.notBegun' : 'summary.noShift')}</p>`}`;
  }

  private page(reply: ShiftSummaryReply, told: ToldShift, text: SummaryText): TemplateResult {
    const unsent = new Set(this.own.words().map((word) => (word.kind === 'closeAction' ? `closed ${word.action}` : word.id)));
    const words = { unsent, stating: told.current ? this.stating(reply) : null, who: who() };
    return html`${told.current ? nothing : html`<p class="old screen">${t('summary.old')} <a href=${this.address('', '')}>${t('summary.now')}</a></p>`}
      <div class="columns">
        <div>${countsSection(told, reply.shifts.length > 1, text)}${delaySection(told, text)}${headsSection(told, text)}</div>
        <div>${openSections(told, reply.plant.code, text)}${actionsSection(told, text, words)}${notesSection(told, text, words)}</div>
      </div>`;
  }

  /** Line, day and shift to choose, print and files; none of it is printed. */
  private bar(reply: ShiftSummaryReply): TemplateResult {
    const { lines, line, date, shift, shifts } = reply;
    const chosen = (event: Event): string => (event.target as HTMLInputElement | HTMLSelectElement).value;
    return html`<div class="bar">
      ${lines.length < 2 ? nothing : html`<label>${t('summary.line')}<select @change=${(event: Event) => this.choose(chosen(event), '', '')}>
        ${lines.map(({ code, name }) => html`<option value=${code} ?selected=${code === line.code}>${name}</option>`)}</select></label>`}
      <label>${t('summary.date')}<input type="date" .value=${date} @change=${(event: Event) => this.choose(line.code, chosen(event), '')} /></label>
      ${shifts.length < 2 ? nothing : html`<label>${t('summary.shift')}<select @change=${(event: Event) => this.choose(line.code, date, chosen(event))}>
        ${shifts.map(({ key }) => html`<option value=${key} ?selected=${key === shift?.key}>${key}</option>`)}</select></label>`}
      ${this.way(reply)}
      <button @click=${() => window.print()}>${t('summary.print')}</button></div>
      <details class="screen"><summary>${t('summary.files')}</summary><div class="files">${SUMMARY_TABLES.flatMap((table) => (['csv', 'xlsx'] as const).map((type) =>
        html`<button @click=${() => void this.download(reply, table, type)}>${t(`summary.table.${table}`)} ${type.toUpperCase()}</button>`))}</div></details>`;
  }

  private way(reply: ShiftSummaryReply | null): TemplateResult {
    const line = reply?.line.code ?? '';
    const { previous = null, next = null } = reply ?? {};
    return html`<button ?disabled=${previous === null} @click=${() => previous && this.choose(line, previous.date, previous.key)}>◀ ${t('summary.previous')}</button>
      <button ?disabled=${next === null} @click=${() => next && this.choose(line, next.date, next.key)}>${t('summary.next')} ▶</button>
      <button ?disabled=${reply?.told?.current === true} @click=${() => this.choose(line, '', '')}>${t('summary.now')}</button>`;
  }

  /** Facts that wait on this device, and those the server refused. */
  private sending(): TemplateResult {
    const outbox = this.store?.outbox;
    const refused = outbox?.refused() ?? [];
    const unsent = outbox?.unsent().n ?? 0;
    return html`${this.wrong === '' ? nothing : html`<p role="alert" class="wrong screen">${this.wrong}</p>`}
      ${unsent > 0 ? html`<p role="status" class="screen">${t('station.unsent', { n: unsent })}</p>` : nothing}
      ${refused.map((one) => html`<p role="alert" class="wrong screen">${refusedText(one)}
        <button @click=${() => void outbox?.dismiss(one.fact.id)}>${t('station.read')}</button></p>`)}`;
  }

  private stating({ line: { code: line }, plant: { timeZone } }: ShiftSummaryReply): Stating | null {
    const outbox = this.store?.outbox;
    if (!outbox) return null;
    const state = async (badge: string, stated: () => Promise<unknown>): Promise<void> => {
      chooseWho(badge);
      this.wrong = '';
      try {
        await stated();
      } catch (error) {
        this.wrong = t('station.diskTrouble');
        throw error;
      }
    };
    return {
      note: (text, badge) => state(badge, () => outbox.state('note', { line, text })),
      action: (what, owner, due, badge) => {
        const [date = '', time = ''] = due.split('T');
        return state(badge, () => outbox.state('openAction', { line, what, owner, due: due === '' ? null : instantOfLocal(timeZone, date, time) }));
      },
      close: (action, note, badge) => state(badge, () => outbox.state('closeAction', { line, action, note })),
    };
  }

  /** Keeps what is asked for in the address, so that it can be bookmarked. */
  private choose(line: string, date: string, shift: string): void {
    [this.line, this.date, this.shift] = [line, date, shift];
    history.replaceState(null, '', this.address(date, shift));
  }

  private address(date: string, shift: string): string {
    const said = new URLSearchParams(Object.entries({ line: this.line, date, shift }).filter(([, value]) => value !== '')).toString();
    return said === '' ? location.pathname : `${location.pathname}?${said}`;
  }

  private async download({ plant, line, date, shift }: ShiftSummaryReply, table: SummaryTable, type: 'csv' | 'xlsx'): Promise<void> {
    this.wrong = '';
    try {
      saveFile(await fetchSummaryFile(plant.code, line.code, date, shift?.key ?? '', table, type), `${plant.code}-${date}-${table}.${type}`);
    } catch (error) {
      this.wrong = error instanceof ApiError && error.status !== 0 ? t('error.other', { what: error.what }) : t('error.noAnswer');
    }
  }
}
