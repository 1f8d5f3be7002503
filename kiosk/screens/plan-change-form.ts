import { css, html, LitElement, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ClearByRow } from '../../server/contract/forecast.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { instantOfLocal, localOf } from '../../server/core/calendar/zone.ts';
import type { PlanChange } from '../../server/core/forecast/plan-change.ts';
import type { Station } from '../../server/core/setup/plant.ts';
import { base } from '../styles/tokens.ts';
import { reasonText } from '../words/reasons.ts';
import { t, type WordKey } from '../words/catalogue.ts';

const KINDS = ['overtime', 'extraDay', 'clearHold', 'sequence', 'heads', 'places', 'standard'] as const;
type Kind = (typeof KINDS)[number];

/** Asks for one change of a plan, in words, and tells it as the event `plan-change`. */
@customElement('sh-plan-change-form')
export class PlanChangeForm extends LitElement {
  static override styles = [base, css`
    :host { display: block; }
    form { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; }
    label { display: grid; gap: 4px; } input, select, button { min-height: 48px; } input[type='number'] { width: 7em; }
    @media (max-width: 600px) { label, input, select { width: 100%; } }
  `];

  @property({ attribute: false }) view: Snapshot | null = null;
  @property({ attribute: false }) holds: readonly ClearByRow[] = [];
  @state() private kind: Kind = 'overtime';

  override render(): TemplateResult {
    return html`<form @submit=${(event: SubmitEvent) => this.add(event)}>
      <label>${t('plans.what')}<select name="kind" @change=${(event: Event) => this.choose(event)}>${KINDS.map((kind) => html`<option value=${kind} ?selected=${kind === this.kind}>${t(`plans.kind.${kind}`)}</option>`)}</select></label>
      ${this.fields()}<button type="submit">${t('plans.add')}</button></form>`;
  }

  private choose(event: Event): void {
    const { value } = event.target as HTMLSelectElement;
    this.kind = KINDS.find((kind) => kind === value) ?? 'overtime';
  }

  private fields(): TemplateResult {
    const zone = this.view?.plant.timeZone ?? 'UTC';
    const { date, time } = localOf(zone, this.view?.at ?? 0);
    switch (this.kind) {
      case 'overtime': return html`${field('plans.from', 'from', 'date', date)}${field('plans.to', 'to', 'date', date)}${number('plans.hours', 'hours', 2, 0.5, 12, 0.5)}`;
      case 'extraDay': return field('plans.day', 'date', 'date', saturdayFrom(date));
      case 'clearHold': return html`${pick('plans.hold', 'hold', this.holds.map(({ hold, unit, what }) => [hold, `${unit}: ${reasonText(what)}`]))}${field('plans.at', 'at', 'datetime-local', `${date}T${time}`)}`;
      case 'sequence': return html`${pick('plans.unit', 'unit', this.waiting())}${pick('plans.before', 'before', this.waiting())}`;
      case 'heads': return html`${this.station()}${number('plans.heads', 'heads', 3, 0.5, 1_000, 0.5)}`;
      case 'places': return html`${this.station()}${number('plans.places', 'places', 2, 1, 1_000, 1)}`;
      case 'standard': return html`${this.station()}${number('plans.less', 'less', 10, 1, 90, 1)}`;
    }
  }

  private stations(): Station[] {
    return (this.view?.plant.lines ?? []).filter(({ purpose }) => purpose !== 'feeder').flatMap((line) => line.stations);
  }

  private station(): TemplateResult {
    return pick('plans.station', 'station', this.stations().map(({ code, name }) => [code, `${code} ${name}`]));
  }

  /** Units to be released, in their sequence. */
  private waiting(): [string, string][] {
    const units = (this.view?.units ?? []).filter(({ state: unit }) => unit.known && unit.stage === 'scheduled');
    return units.toSorted((a, b) => (a.state.sequence ?? Infinity) - (b.state.sequence ?? Infinity)).map(({ state: unit }) => [unit.unit, unit.unit]);
  }

  private add(event: SubmitEvent): void {
    event.preventDefault();
    const said = new FormData(event.target as HTMLFormElement);
    const change = this.changeOf((name) => String(said.get(name) ?? ''));
    if (change) this.dispatchEvent(new CustomEvent<PlanChange>('plan-change', { detail: change }));
  }

  private changeOf(said: (name: string) => string): PlanChange | null {
    const station = said('station');
    switch (this.kind) {
      case 'overtime': return said('from') && said('to') ? { kind: 'overtime', from: said('from'), to: said('to'), minutes: Number(said('hours')) * 60 } : null;
      case 'extraDay': return said('date') ? { kind: 'extraDay', date: said('date') } : null;
      case 'sequence': return said('unit') && said('unit') !== said('before') ? { kind: 'sequence', unit: said('unit'), before: said('before') } : null;
      case 'places': return { kind: 'places', station, places: Number(said('places')) };
      case 'standard': return { kind: 'standard', station, lessPercent: Number(said('less')) };
      case 'heads': return { kind: 'heads', station, heads: Number(said('heads')), planned: this.stations().find(({ code }) => code === station)?.plannedHeads || 1 };
      case 'clearHold': {
        const hold = this.holds.find((row) => row.hold === said('hold'));
        const [date = '', time = ''] = said('at').split('T');
        return hold && date && time ? { kind: 'clearHold', unit: hold.unit, hold: hold.hold, at: instantOfLocal(this.view?.plant.timeZone ?? 'UTC', date, time) } : null;
      }
    }
  }
}

function saturdayFrom(date: string): string {
  const day = new Date(`${date}T00:00:00Z`);
  day.setUTCDate(day.getUTCDate() + ((6 - day.getUTCDay() + 7) % 7));
  return day.toISOString().slice(0, 10);
}

function field(word: WordKey, name: string, type: string, value: string): TemplateResult {
  return html`<label>${t(word)}<input name=${name} type=${type} .value=${value} required /></label>`;
}

function number(word: WordKey, name: string, value: number, min: number, max: number, step: number): TemplateResult {
  return html`<label>${t(word)}<input name=${name} type="number" .value=${String(value)} min=${min} max=${max} step=${step} required /></label>`;
}

function pick(word: WordKey, name: string, values: readonly (readonly [string, string])[]): TemplateResult {
  return html`<label>${t(word)}<select name=${name} required>${values.map(([value, text]) => html`<option value=${value}>${text}</option>`)}</select></label>`;
}
