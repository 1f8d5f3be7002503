import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { PlantController } from '../controllers/plant.ts';
import { ScannerController } from '../controllers/scanner.ts';
import { StatingController } from '../controllers/stating.ts';
import type { Own } from '../data/outbox.ts';
import { knownCodes } from '../data/known-codes.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { wearBadge, who } from '../data/preferences.ts';
import { readCode } from '../data/read-code.ts';
import type { ScreenParams } from '../data/route.ts';
import { emptyPlaces, nextOnWalk, passedWith, type Walk, walkProgress, walkReport, type WalkStep, walkSteps } from '../data/walk.ts';
import { keepWalk, keptWalk } from '../data/walk-kept.ts';
import { stationStyles } from '../styles/station.styles.ts';
import { base } from '../styles/tokens.ts';
import { walkStyles } from '../styles/walk.styles.ts';
import { t } from '../words/catalogue.ts';
import { codeWord } from '../words/code-word.ts';
import { statedReason } from '../words/reasons.ts';
import { areaOf } from './board-facts.ts';
import { differenceList, lostList, slotWords, stepWords, walkSummary } from './walk-parts.ts';

const SHOWN_AFTER = 3;

/** One answer given on the walk, so that it can be taken back. */
interface Act {
  fact: Fact | null;
  keys: string[];
}

/** The supervisor's walk of the line: every place and its unit in walking order, confirmed or corrected with one touch or scan. */
@customElement('sh-walk-screen')
export class WalkScreen extends LitElement {
  static override styles = [base, stationStyles, walkStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private walk: Walk | null = null;
  /** Key of a step somebody went to out of turn. */
  @state() private chosen: string | null = null;
  @state() private later: string[] = [];
  @state() private acts: Act[] = [];
  private slotSaid: { step: string; typed: string } = { step: '', typed: '' };
  private readonly plant = new PlantController(this, () => this.store);
  private readonly stating = new StatingController(this, () => this.store);
  private readonly scanner = new ScannerController(this, (code) => void this.found(code));

  protected override willUpdate(): void {
    if (this.store) this.walk ??= keptWalk(this.store.plant);
  }

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    if (!this.walk) return this.notBegun(view);
    const steps = walkSteps(view, this.walk);
    const { walked, all } = walkProgress(steps);
    const words = t('walk.progress', { walked, all });
    const step = this.current(steps);
    return html`<header><h1>${t('nav.walk')}</h1><span class="figures">${words}</span>
        <span class="soft">${t('walk.since', { time: localOf(view.plant.timeZone, this.walk.started).time })}</span>${who() === '' ? this.stating.badge() : nothing}</header>
      <progress max=${Math.max(1, all)} .value=${walked} aria-label=${words}></progress>
      ${this.stating.notices()}
      ${step === null ? this.atTheEnd(view, this.walk, all - walked) : this.underWay(view, this.walk, steps, step)}`;
  }

  private notBegun(view: Snapshot): TemplateResult {
    const steps = walkSteps(view, { started: Number.POSITIVE_INFINITY, ended: null, passed: [] });
    const units = steps.filter(({ unit }) => unit !== null).length;
    return html`<header><h1>${t('nav.walk')}</h1>${this.stating.badge()}</header>${this.stating.notices()}
      <section>${steps.length === 0 ? html`<p>${t('walk.noPlaces')}</p>` : html`<p>${t('walk.all', { all: walkProgress(steps).all, units })}</p>
        <button class="main" @click=${() => this.begin()}>${t('walk.start')}</button>`}
        <p>⚠ ${t('walk.care')}</p><p>${t('walk.what')}</p></section>`;
  }

  private underWay(view: Snapshot, walk: Walk, steps: readonly WalkStep[], step: WalkStep): TemplateResult {
    const left = steps.filter((other) => !other.walked && other !== step);
    const following = [...left.filter((other) => steps.indexOf(other) > steps.indexOf(step)), ...left];
    return html`<section>${this.next(view, step)}
        <div class="actions"><button @click=${() => this.putOff(step)}>${t('walk.later')}</button>
          <button ?disabled=${this.acts.length === 0} @click=${() => void this.undo()}>${t('walk.undo')}</button></div></section>
      <section><div class="card"><h2>${t('walk.differences')}</h2>${differenceList(view, walkReport(view, walk.started))}</div>
        <div class="card"><h2>${t('walk.then')}</h2><ol>${[...new Set(following)].slice(0, SHOWN_AFTER).map((other) => html`<li>${stepWords(other)}</li>`)}</ol></div>
        <button @click=${() => this.change({ ended: this.store!.now() })}>${t('walk.end')}</button>
        <details><summary>${t('walk.list')}</summary><div class="grid places">${steps.map((other) => html`<button aria-pressed=${other === step}
          @click=${() => (this.chosen = other.key)}>${other.walked ? '✔ ' : ''}${stepWords(other)}</button>`)}</div></details></section>`;
  }

  private next(view: Snapshot, step: WalkStep): TemplateResult {
    const { unit, station } = step;
    const model = unit && (view.plant.models.find(({ code }) => code === unit.state.model)?.name ?? unit.state.model ?? '');
    return html`<div class="card next"><span class="soft">${t('walk.next')}: ${areaOf(view, station)}</span>
        <div class="place">${station.code} ${station.name}</div><span>${slotWords(step)}</span>
        <div class="serial ${unit ? '' : 'none'}">${unit ? unit.state.unit : t('walk.saidEmpty')}</div>${unit ? html`<span>${model} ${unit.state.options.join(' + ')}</span>` : nothing}</div>
      ${unit ? html`<div class="answers"><button class="main" @click=${() => void this.here(step, unit.state.unit)}>✔ ${t('walk.here')}</button>
          <button class="main no" @click=${() => void this.missing(step, unit.state.unit)}>✖ ${t('walk.notHere')}</button></div>`
        : html`<div class="answers one"><button class="main" @click=${() => this.empty(step)}>${t('walk.empty')}</button></div>`}
      ${this.otherUnit(step)}`;
  }

  private otherUnit(step: WalkStep): TemplateResult {
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const form = event.target as HTMLFormElement;
      const serial = form.elements.namedItem('serial') as HTMLInputElement;
      const code = serial.value.trim();
      serial.value = '';
      if (code !== '') void this.found(code);
    };
    return html`<form class="found" @submit=${submit}><label>${t(step.unit ? 'walk.other' : 'walk.unit')}<input name="serial" maxlength="100" autocomplete="off" /></label>
      ${step.outside ? html`<label class="slot">${t('walk.atSlot')} <input .value=${this.slotOf(step)} maxlength="20" autocomplete="off"
        @input=${(event: Event) => (this.slotSaid = { step: step.key, typed: (event.target as HTMLInputElement).value })} /></label>` : nothing}
      <button>${t('station.ok')}</button></form>`;
  }

  /** The end, reached or not: what the walk came to, and the units nobody has found. */
  private atTheEnd(view: Snapshot, walk: Walk, left: number): TemplateResult {
    const report = walkReport(view, walk.started);
    return html`<section><div class="place">${left === 0 ? `✔ ${t('walk.done')}` : t('walk.ended')}</div>
        ${left > 0 ? html`<p>${t('walk.left', { n: left })}</p><button @click=${() => this.change({ ended: null })}>${t('walk.goOn')}</button>` : nothing}
        ${walkSummary(view, report)}
        <button @click=${() => this.begin()}>${t('walk.new')}</button>
        ${this.acts.length > 0 ? html`<button @click=${() => void this.undo()}>${t('walk.undo')}</button>` : nothing}</section>
      <section>${lostList(view, report.lost, (unit, station, slot) => void this.answer('seen', { unit, station, slot }, []))}</section>`;
  }

  private current(steps: readonly WalkStep[]): WalkStep | null {
    if (this.walk?.ended) return null;
    return steps.find((step) => step.key === this.chosen) ?? nextOnWalk(steps, this.later);
  }

  private slotOf(step: WalkStep): string {
    if (!step.outside) return '';
    return this.slotSaid.step === step.key ? this.slotSaid.typed.trim() : (step.slots[0] ?? '');
  }

  private begin(): void {
    if (!this.stating.worn()) return;
    [this.later, this.acts, this.chosen] = [[], [], null];
    this.keep({ started: this.store!.now(), ended: null, passed: [] });
    this.stating.say(null);
  }

  private async here(step: WalkStep, unit: string): Promise<void> {
    const slot = this.slotOf(step);
    await this.answer('seen', { unit, station: step.station.code, slot }, passedWith(step, slot));
  }

  /** Where it was said to be is asked about next as a free place: another one may stand there. */
  private async missing({ station }: WalkStep, unit: string): Promise<void> {
    await this.answer('missing', { unit, station: station.code }, []);
  }

  private empty(step: WalkStep): void {
    this.pass({ fact: null, keys: emptyPlaces(step) });
    this.stating.say(null);
  }

  /** A scan, or a serial typed: that unit stands at the place that is next. */
  private async found(code: string): Promise<void> {
    if (this.stating.wears(code)) return;
    const view = this.store?.view;
    const step = view && this.walk ? this.current(walkSteps(view, this.walk)) : null;
    if (!step) return this.stating.say({ kind: 'act', words: t('walk.choosePlace') });
    const read = readCode(code, view!.plant.codes, knownCodes(view!));
    if (read.kind === 'unit') return void (await this.here(step, read.code));
    if (read.kind === 'badge') wearBadge(read.code);
    this.stating.say(codeWord(read));
  }

  private async answer<K extends 'seen' | 'missing'>(kind: K, own: Own<K>, keys: string[]): Promise<void> {
    const { station, unit } = own as { station: string; unit: string };
    const fact = await this.stating.state(kind, own, () => `${station}: ${t(kind === 'seen' ? 'walk.here' : 'walk.notHere')}, ${unit}`);
    if (fact) this.pass({ fact, keys });
  }

  private pass(act: Act): void {
    const passed = this.walk?.passed ?? [];
    const keys = act.keys.filter((key) => !passed.includes(key));
    this.acts = [...this.acts, { ...act, keys }];
    this.chosen = null;
    this.change({ passed: [...passed, ...keys] });
  }

  private putOff(step: WalkStep): void {
    this.later = [...this.later.filter((key) => key !== step.key), step.key];
    this.chosen = null;
  }

  private async undo(): Promise<void> {
    const act = this.acts.at(-1);
    if (!act || (act.fact && !(await this.stating.state('void', { fact: act.fact.id, reason: statedReason('reason.undone') })))) return;
    this.acts = this.acts.slice(0, -1);
    this.change({ passed: this.walk!.passed.filter((key) => !act.keys.includes(key)), ended: null });
  }

  private change(more: Partial<Walk>): void {
    if (this.walk) this.keep({ ...this.walk, ...more });
  }

  private keep(walk: Walk): void {
    this.walk = walk;
    try {
      keepWalk(this.store!.plant, walk);
    } catch {
      this.stating.say({ kind: 'wrong', words: t('walk.noDisk') });
    }
  }
}
