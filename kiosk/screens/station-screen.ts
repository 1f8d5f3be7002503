import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { Fact, FactKind, KeepsFrom } from '../../server/core/facts/fact.ts';
import { openWork } from '../../server/core/gates/access.ts';
import { isFor } from '../../server/core/setup/quality.ts';
import { ClockController } from '../controllers/clock.ts';
import { PlantController } from '../controllers/plant.ts';
import { ScannerController } from '../controllers/scanner.ts';
import { WakeLockController } from '../controllers/wake-lock.ts';
import { askForRoom, type DiskRoom, isNearlyFull } from '../data/disk-room.ts';
import { knownCodes } from '../data/known-codes.ts';
import { crewOf } from '../data/crew-now.ts';
import type { Own } from '../data/outbox.ts';
import { DiskError } from '../data/outbox-disk.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { wearBadge, hand, who } from '../data/preferences.ts';
import { readCode } from '../data/read-code.ts';
import { sound } from '../data/sounds.ts';
import { qualityPath, type ScreenParams, stationPath } from '../data/route.ts';
import { checksOf } from '../data/quality-units.ts';
import { comingInstant, isManned, type NextStep, nextStep, scanMeans, stationView, type StationView, toldInstant } from '../data/station-view.ts';
import { settleStyles } from '../styles/settle.styles.ts';
import { base } from '../styles/tokens.ts';
import { stateTag } from '../styles/states.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { t } from '../words/catalogue.ts';
import { factWord, kindWord } from '../words/fact-word.ts';
import { codeWord } from '../words/code-word.ts';
import { heads } from '../words/heads.ts';
import { reasonText, statedReason } from '../words/reasons.ts';
import { hoursPanel } from './hours-panel.ts';
import { holdPanel, pullOffPanel, shortPanel, stopPanel, timePanel } from './station-panels.ts';
import { comingList, unitCard } from './station-cards.ts';
import { outboxNotices, type Said, saidNotice } from './station-notices.ts';
import { uncheckedOverrides } from './unchecked-overrides.ts';
import './code-camera.ts';
import './device-panel.ts';

/** More units than these are chosen from below what to do with the one chosen. */
const FEW = 3;

type Panel = 'none' | 'hold' | 'short' | 'stop' | 'pullOff' | 'time' | 'hours' | 'device';

/** The lead's screen at one station: scan units in and out, open and clear holds and stops. */
@customElement('sh-station-screen')
export class StationScreen extends LitElement {
  static override styles = [base, stationStyles, settleStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private panel: Panel = 'none';
  /** When the panel was opened: a time that is typed into it stays while the clock goes on. */
  private panelAt = 0;
  @state() private chosen: string | null = null;
  @state() private keepsFrom: KeepsFrom = 'work';
  @state() private bay: string | null = null;
  @state() private told: string | null = null;
  @state() private last: Fact | null = null;
  @state() private said: Said | null = null;
  @state() private camera = false;
  @state() private room: DiskRoom | null = null;
  private sounded: string | null = null;
  private readonly clock = new ClockController(this);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly scanner = new ScannerController(this, (code) => void this.scanned(code));
  private readonly awake = new WakeLockController(this);

  override connectedCallback(): void {
    super.connectedCallback();
    this.addEventListener('keydown', this.onEscape);
    void askForRoom().then((room) => (this.room = room));
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.removeEventListener('keydown', this.onEscape);
  }

  protected override willUpdate(): void {
    this.setAttribute('hand', hand());
    const fact = this.said?.fact ?? null;
    const stage = fact === null ? null : this.store?.outbox.stage(fact);
    if (fact === null || fact === this.sounded || stage === 'unsent') return;
    this.sounded = fact;
    sound(stage === 'refused' ? 'wrong' : 'done');
  }

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const station = stationView(view, this.params?.query['at'] ?? '');
    if (!station) return this.choose(view);
    return html`<header><h1>${station.station.code} ${station.station.name}</h1>${this.crew(view, station)}${this.badge()}</header>
      ${this.notices(station)}
      ${isManned(view, station, this.clock.now) ? nothing : html`<div class="said act" role="status"><span aria-hidden="true">◆</span><span>${t('hours.outside')}</span>
        <button @click=${() => this.show('hours')}>${t('hours.title')}</button></div>`}
      ${this.panel === 'none' ? this.work(view, station) : html`<section class="panel">${this.panelOf(view, station)}
        <button @click=${() => this.show('none')}>${t('station.cancel')}</button></section>`}
      <section class="side">${this.camera ? html`<sh-code-camera @code=${(event: CustomEvent<string>) => void this.scanned(event.detail)}></sh-code-camera>` : nothing}${this.typed()}${comingList(view, station, (unit) => void this.move(unit))}${this.more(station)}</section>`;
  }

  private choose(view: Snapshot): TemplateResult {
    const stations = [...view.plant.lines.flatMap((line) => line.stations), ...view.plant.places];
    return html`<header><h1>${t('station.choose')}</h1></header><div class="grid" style="grid-column: 1 / -1">
      ${stations.map(({ code, name }) => html`<button @click=${() => location.assign(stationPath(view.plant.code, code))}>${code}<br />${name}</button>`)}</div>`;
  }

  private crew(view: Snapshot, { station }: StationView): TemplateResult | typeof nothing {
    const crew = crewOf(view, station.code, this.clock.now);
    if (!crew || (crew.planned === 0 && crew.here === 0)) return nothing;
    return html`<span class="figures">${crew.short > 0 ? stateTag('shortCrew') : nothing} ${t('crew.headsOf', { here: heads(crew.here), planned: heads(crew.planned) })}</span>`;
  }

  private badge(): TemplateResult {
    const change = (event: Event): void => {
      wearBadge((event.target as HTMLInputElement).value);
      this.said = null;
      this.requestUpdate();
    };
    return html`<label>${t('station.badge')} <input class="badge" .value=${who()} maxlength="60" autocomplete="off" @change=${change} /></label>`;
  }

  private notices(station: StationView): TemplateResult {
    const { store, room } = this;
    const { outbox } = store!;
    return html`${saidNotice(this.said, outbox, (code) => void this.move(code))}${outboxNotices(outbox, store!.view!.plant.timeZone, this.clock.now)}
      ${room && isNearlyFull(room) ? html`<div class="said note" role="status"><span aria-hidden="true">■</span><span>${t('device.diskNearlyFull', { n: Math.round((room.left ?? 0) / 1_048_576) })}</span></div>` : nothing}
      ${this.told ? html`<div class="said note" role="status"><span aria-hidden="true">◆</span><span>${t('station.itWasAtTime', { time: this.told })}</span></div>` : nothing}
      ${station.stop ? html`<div class="said wrong" role="status"><span aria-hidden="true">⬣</span><span>${t('station.stopped', { reason: reasonText(station.stop.reason) })}</span></div>` : nothing}`;
  }

  private work(view: Snapshot, station: StationView): TemplateResult {
    const unit = this.unit(station);
    if (!unit) {
      const next = station.coming[0]?.state.unit;
      return html`<section><div class="card"><div class="serial">${t('station.nobody')}</div></div>
        ${next ? html`<button class="main" @click=${() => void this.move(next)}>${t('station.arrive')}<br />${next}</button>` : nothing}
        </section>`;
    }
    const means = scanMeans(station, unit.state.unit) === 'finish' ? 'finish' : 'leave';
    const next = nextStep(station, unit);
    const others = station.here.length < 2 ? nothing
      : html`<div class="grid">${station.here.map((row) => html`<button aria-pressed=${row === unit} @click=${() => (this.chosen = row.state.unit)}>${row.state.unit}</button>`)}</div>`;
    return html`<section>
      ${station.here.length > FEW ? nothing : others}
      ${unitCard(view, unit, this.clock.now, next, {
        clearHold: (hold) => void this.say('clearHold', { unit: unit.state.unit, hold, note: '' }),
        fitted: (short, item) => void this.say('fitShort', { unit: unit.state.unit, short, item }),
      })}
      ${uncheckedOverrides(this.store!.outbox, unit.state.unit)}${this.mainButton(view, next, station, unit)}
      <div class="actions">${next.kind === means && !(means === 'leave' && this.checkToMake(view, station, unit)) ? nothing : html`<button @click=${() => void this.move(unit.state.unit)}>${t(`station.${means}`)}</button>`}
        <button @click=${() => this.show('hold')}>${t('station.hold')}</button>
        <button @click=${() => this.show('short')}>${t('station.short')}</button>
        <button @click=${() => this.show('pullOff')}>${t('station.pullOff')}</button>
        ${this.qualityWays(view, station, unit)}</div>
      ${station.here.length > FEW ? others : nothing}</section>`;
  }

  /** The ways to the unit's quality, with what waits there. */
  private qualityWays({ plant }: Snapshot, { station }: StationView, { state }: UnitRow): TemplateResult {
    const open = openWork(state.work).length;
    const checks = checksOf(plant, state, this.clock.now, station.code);
    const parts = (plant.partKinds ?? []).filter((kind) => kind.station === station.code && isFor(kind, state.model, state.options));
    const left = checks.filter(({ standing }) => standing !== 'passed').length;
    const way = (screen: 'work' | 'checks' | 'access' | 'parts', n: number, words: string): TemplateResult => html`<button @click=${() => this.quality(screen, state.unit)}>
      ${n > 0 ? '▲ ' : ''}${t(`nav.${screen}`)}${n > 0 ? html`<br /><small>${words}</small>` : nothing}</button>`;
    return html`${checks.length > 0 ? way('checks', left, t('checks.toMake', { n: left })) : nothing}${way('work', open, t('work.count', { n: open }))}
      ${station.covers?.length ? way('access', station.covers.filter((zone) => !state.covered.includes(zone)).length, t('access.toCover')) : nothing}${parts.length > 0 ? way('parts', parts.filter(({ code }) => !state.parts.some(({ part }) => part === code)).length, t('access.toRecord')) : nothing}`;
  }

  private quality(screen: 'work' | 'checks' | 'access' | 'parts', unit: string): void {
    location.assign(qualityPath(this.store!.plant, screen, { unit, at: this.params?.query['at'] ?? '' }));
  }

  /** The first check of the station that the unit has not passed: it is made before the unit leaves. */
  private checkToMake(view: Snapshot, { station }: StationView, { state }: UnitRow): string | null {
    return checksOf(view.plant, state, this.clock.now, station.code).find(({ standing }) => standing !== 'passed')?.check.name ?? null;
  }

  private mainButton(view: Snapshot, next: NextStep, here: StationView, row: UnitRow): TemplateResult {
    const { station } = here;
    const { unit } = row.state;
    const check = next.kind === 'leave' ? this.checkToMake(view, here, row) : null;
    if (check !== null) return html`<button class="main" @click=${() => this.quality('checks', unit)}>${t('checks.make')}<br />${check}</button>`;
    switch (next.kind) {
      case 'clearStop': return html`<button class="main" @click=${() => void this.say('clearStop', { station: station.code, stop: next.stop, note: '' })}>${t('station.clearStop')}<br />${reasonText(next.reason)}</button>`;
      case 'clearHold': return html`<button class="main" @click=${() => void this.say('clearHold', { unit, hold: next.hold, note: '' })}>${t('station.clearHold')}<br />${reasonText(next.reason)}</button>`;
      default: return html`<button class="main" @click=${() => void this.move(unit)}>${t(`station.${next.kind}`)}<br />${unit}</button>`;
    }
  }

  private typed(): TemplateResult {
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const form = event.target as HTMLFormElement;
      const code = String(new FormData(form).get('serial') ?? '').trim();
      form.reset();
      if (code !== '') void this.scanned(code);
    };
    return html`<form class="form" @submit=${submit}><label>${t('station.scanOrType')}<input name="serial" maxlength="100" autocomplete="off" /></label></form>`;
  }

  private more(view: StationView): TemplateResult {
    const { station, stop, line } = view;
    const unit = this.unit(view);
    const mainClears = this.panel === 'none' && unit !== undefined && nextStep(view, unit).kind === 'clearStop';
    return html`<div class="grid">
      ${line?.roll === 'together' ? html`<button @click=${() => void this.say('roll', { line: line.code })}>${t('station.roll')}</button>` : nothing}
      ${stop && mainClears ? nothing : stop ? html`<button @click=${() => void this.say('clearStop', { station: station.code, stop: stop.id, note: '' })}>${t('station.clearStop')}</button>`
        : html`<button @click=${() => this.show('stop')}>${t('station.stop')}</button>`}
      <button @click=${() => this.show('time')}>${t('station.itWasAt')}</button>
      <button aria-pressed=${this.camera} @click=${() => (this.camera = !this.camera)}>${t(this.camera ? 'camera.close' : 'camera.use')}</button>
      <button @click=${() => this.show('device')}>${t('device.this')}</button>
      ${line ? html`<button @click=${() => this.show('hours')}>${t('hours.title')}</button>` : nothing}
      <button ?disabled=${!this.last} @click=${() => void this.undo()}>${this.last ? t('station.undo', { what: kindWord(this.last.kind) }) : t('station.undoNone')}</button></div>`;
  }

  private panelOf(view: Snapshot, station: StationView): TemplateResult {
    const unit = this.unit(station)?.state.unit ?? '';
    const code = station.station.code;
    switch (this.panel) {
      case 'hold': return holdPanel(this.keepsFrom, (kind) => (this.keepsFrom = kind), (reason) => void this.say('openHold', { unit, reason, keepsFrom: this.keepsFrom, fromStation: null, note: '' }));
      case 'stop': return stopPanel((reason) => void this.say('openStop', { station: code, reason, note: '' }));
      case 'pullOff': return pullOffPanel(view.plant.places, this.bay, (bay) => (this.bay = bay), (reason) => void this.say('pullOff', { unit, reason, to: this.bay }));
      case 'short': return shortPanel(station.line?.stations ?? [], view.plant.zones ?? [], view.plant.timeZone, (item) => void this.say('leaveShort', { unit, station: code, items: [item] }));
      case 'time': return timePanel(localOf(view.plant.timeZone, this.panelAt).time, this.told, (time) => {
        this.told = time;
        this.show('none');
      });
      case 'device': return html`<sh-device-panel .awake=${this.awake.state} @changed=${() => this.requestUpdate()}></sh-device-panel>`;
      case 'hours': return hoursPanel({
        now: localOf(view.plant.timeZone, this.panelAt).time, line: station.line?.code ?? '', station: code,
        openUntil: (own) => void this.say('openUntil', own), goneHome: (own) => void this.say('goneHome', own), instantOf: (time) => comingInstant(view.plant.timeZone, time, this.clock.now),
      });
      case 'none': return html``;
    }
  }

  private unit(station: StationView): UnitRow | undefined {
    return station.here.find((row) => row.state.unit === this.chosen) ?? station.here.at(-1);
  }

  private show(panel: Panel): void {
    const from = this.panel;
    this.panel = panel;
    this.panelAt = this.clock.now;
    // What was chosen for one unit is not chosen for the next.
    this.keepsFrom = 'work';
    this.bay = null;
    // For who works by keys: into what opened, and back to the big button.
    void this.updateComplete.then(() => this.renderRoot.querySelector<HTMLElement>(panel === 'none' ? 'button.main' : '.panel button, .panel input, .panel sh-device-panel')?.focus({ preventScroll: from === 'none' }));
  }

  private readonly onEscape = (event: KeyboardEvent): void => {
    if (event.key === 'Escape' && this.panel !== 'none') this.show('none');
  };

  private answer(kind: Said['kind'], words: string, more: Partial<Said> = {}): void {
    this.said = { kind, words, fact: null, asRead: null, ...more };
    sound(kind === 'good' ? 'heard' : 'wrong');
  }

  /** A scan or what was typed: a badge is worn from now on, a unit moves, and what was misread is asked about. */
  private async scanned(scanned: string): Promise<void> {
    const view = this.store?.view;
    if (!view || this.wears(scanned)) return;
    const read = readCode(scanned, view.plant.codes, knownCodes(view));
    if (read.kind === 'unit') return this.move(read.code);
    if (read.kind === 'badge') wearBadge(read.code);
    const { kind, words } = codeWord(read);
    this.answer(kind, words, { asRead: read.kind === 'misread' || read.kind === 'unknown' ? read.code : null });
  }

  /** Arrive, finish or leave, whichever comes next for the unit. */
  private async move(unit: string): Promise<void> {
    const view = this.store?.view;
    const station = view && stationView(view, this.params?.query['at'] ?? '');
    if (!station) return;
    const kind = scanMeans(station, unit);
    const row = station.here.find(({ state: { unit: serial } }) => serial === unit);
    const past = kind === 'leave' && row ? this.checkToMake(view, station, row) : null;
    await this.say(kind, { unit, station: station.station.code });
    // The unit that was scanned is the one at hand, also where several stand.
    if (this.said?.kind === 'good') this.chosen = kind === 'leave' ? null : unit;
    if (past !== null && this.said?.kind === 'good') this.answer('wrong', t('checks.past', { unit, check: past }), { fact: this.said.fact });
  }

  /** Whether `code` is somebody's badge: one scan, and what follows is stated by that person. */
  private wears(code: string): boolean {
    const name = this.store?.badges.nameOf(code) ?? null;
    if (name === null) return false;
    wearBadge(code);
    this.answer('good', t('access.wears', { code, name }));
    return true;
  }

  private async say<K extends FactKind>(kind: K, own: Own<K>): Promise<void> {
    if (who() === '') {
      return this.answer('act', t('station.badgeNeeded'));
    }
    const zone = this.store!.view!.plant.timeZone;
    // Undoing is no scan: it happens now, and the time that was said waits for the scan it was said for.
    const at = this.told === null || kind === 'void' ? null : toldInstant(zone, this.told, this.store!.now());
    try {
      const fact = await this.store!.outbox.state(kind, own, at);
      this.last = kind === 'void' ? null : fact;
      this.answer('good', `${t('station.heard')}: ${factWord(fact)}`, { fact: fact.id });
      if (kind !== 'void') this.told = null;
      this.panel = 'none';
    } catch (error) {
      this.answer('wrong', t(error instanceof DiskError && error.full ? 'station.diskFull' : 'station.diskTrouble'));
      void askForRoom().then((room) => (this.room = room));
    }
  }

  private async undo(): Promise<void> {
    if (this.last) await this.say('void', { fact: this.last.id, reason: statedReason('reason.undone') });
  }
}
