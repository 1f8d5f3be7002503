import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { instantOfLocal, localOf } from '../../server/core/calendar/zone.ts';
import { vinIn } from '../../server/core/gates/vin.ts';
import type { UnitState } from '../../server/core/facts/unit-state.ts';
import { askJson } from '../data/api.ts';
import { signedInBadge } from '../data/me.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { chooseWho, who } from '../data/preferences.ts';
import type { OfferedVin } from '../../server/contract/replies.ts';
import '../elements/vin-hint.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

const CHANGES = ['promise', 'resequence', 'replan', 'wish', 'changeDealer', 'bindVin', 'ship', 'cancel'] as const;
const WHEN_GONE = ['comeBack'] as const;
type ChangeKind = (typeof CHANGES | typeof WHEN_GONE)[number];
const INPUT: Record<ChangeKind, string | null> = {
  promise: 'date', resequence: 'number', replan: 'datetime-local', wish: 'date', changeDealer: 'text', bindVin: 'text', ship: 'text', cancel: null, comeBack: null,
};

/** What production control changes of a unit's schedule: each a fact with who and why, never an edit. */
@customElement('sh-change-form')
export class ChangeForm extends LitElement {
  static override styles = [base, css`
    form { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; }
    label { display: grid; gap: 4px; } input, select, button { min-height: 48px; }
    .why { flex: 1 1 16em; }
    button { font-weight: 700; background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
    p { margin: 8px 0 0; }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) unit: UnitState | null = null;
  @state() private kind: ChangeKind = 'promise';
  @state() private done = '';
  /** The VIN as it is being typed, null before anything was. */
  @state() private vin: string | null = null;
  @state() private offered: string | null = null;

  override render(): TemplateResult | typeof nothing {
    const { unit } = this;
    if (!unit || unit.stage === 'cancelled') return nothing;
    // What is not released is shipped on the Release screen alone, with a reason.
    const kinds: readonly ChangeKind[] = unit.stage === 'shipped' ? WHEN_GONE : CHANGES.filter((change) => change !== 'ship' || unit.released !== null);
    const kind = kinds.includes(this.kind) ? this.kind : kinds[0]!;
    const input = INPUT[kind];
    return html`<form @submit=${(event: SubmitEvent) => void this.submit(event)}>
      <label>${t('change.what')} <select name="kind" @change=${(event: Event) => this.choose((event.target as HTMLSelectElement).value as ChangeKind)}>
        ${kinds.map((name) => html`<option value=${name} ?selected=${name === kind}>${t(`change.${name}`)}</option>`)}</select></label>
      ${input === null ? nothing : html`<label>${t(kind === 'ship' ? 'change.carrier' : 'change.to')} <input name="to" type=${input} .value=${this.now(unit, kind)} @input=${(event: Event) => { if (kind === 'bindVin') this.vin = (event.target as HTMLInputElement).value; }} step=${input === 'number' ? 'any' : nothing}
        maxlength="100" ?required=${['resequence', 'changeDealer', 'bindVin'].includes(kind)} autocomplete="off" /></label>`}
      ${kind === 'bindVin' || kind === 'ship' ? nothing : html`<label class="why">${t('change.reason')} <input name="reason" required maxlength="500" autocomplete="off" /></label>`}
      ${signedInBadge() === null ? html`<label>${t('station.badge')} <input name="who" required maxlength="100" .value=${who()} autocomplete="off" /></label>` : nothing}
      <button>${t('change.state')}</button></form>
      ${kind === 'bindVin' ? this.vinHelp(unit) : nothing}
      ${this.done ? html`<p role="status">✔ ${t('change.done', { what: this.done })}</p>` : nothing}`;
  }

  /** What is wrong with the VIN as typed, whose it is already, and the next one of the plant. */
  private vinHelp(unit: UnitState): TemplateResult {
    const { view } = this.store ?? {};
    const typed = vinIn(this.vin ?? unit.vin ?? '');
    const taken = typed === '' ? undefined : view?.units.find(({ state: other }) => other.vin === typed && other.unit !== unit.unit);
    return html`<sh-vin-hint .vin=${typed} .model=${unit.model ?? ''} .makeUp=${view?.plant.vin ?? null}></sh-vin-hint>
      ${taken ? html`<p role="status">⚠ ${t('vin.taken', { unit: taken.state.unit })}</p>` : nothing}
      ${this.offered === null || unit.vin !== null || typed === this.offered ? nothing
        : html`<p><button type="button" @click=${() => (this.vin = this.offered)}>${t('vin.offer', { vin: this.offered })}</button></p>`}`;
  }

  private choose(kind: ChangeKind): void {
    this.kind = kind;
    this.vin = null;
    if (kind === 'bindVin' && this.unit?.vin === null) void this.askOffered(this.unit.unit);
  }

  private async askOffered(unit: string): Promise<void> {
    try {
      this.offered = (await askJson<OfferedVin>(`/api/plants/${encodeURIComponent(this.store?.plant ?? '')}/units/${encodeURIComponent(unit)}/offered-vin`)).vin;
    } catch {
      // Nothing to offer while the server is away: the VIN can be typed all the same.
      this.offered = null;
    }
  }

  /** What the unit has now, in the form of the field. */
  private now(unit: UnitState, kind: ChangeKind): string {
    const zone = this.store?.view?.plant.timeZone ?? 'UTC';
    switch (kind) {
      case 'promise': return unit.promise ?? '';
      case 'wish': return unit.wish ?? '';
      case 'resequence': return String(unit.sequence ?? '');
      case 'changeDealer': return unit.dealer;
      case 'bindVin': return this.vin ?? unit.vin ?? '';
      case 'replan': {
        if (unit.plannedRelease === null) return '';
        const { date, time } = localOf(zone, unit.plannedRelease);
        return `${date}T${time}`;
      }
      default: return '';
    }
  }

  private async submit(event: SubmitEvent): Promise<void> {
    event.preventDefault();
    const { store, unit: state } = this;
    if (!store || !state) return;
    const form = event.target as HTMLFormElement;
    const kind = new FormData(form).get('kind') as ChangeKind;
    const field = (name: string): string => String(new FormData(form).get(name) ?? '').trim();
    const [to, reason, unit] = [field('to'), field('reason'), state.unit];
    chooseWho(signedInBadge() ?? field('who'));
    const [date = '', time = ''] = to.split('T');
    const zone = store.view?.plant.timeZone ?? 'UTC';
    if (kind === 'promise') await store.outbox.state('promise', { unit, promise: to || null, reason });
    if (kind === 'wish') await store.outbox.state('wish', { unit, wish: to || null, reason });
    if (kind === 'resequence') await store.outbox.state('resequence', { unit, sequence: Number(to), reason });
    if (kind === 'replan') await store.outbox.state('replan', { unit, plannedRelease: to ? instantOfLocal(zone, date, time) : null, reason });
    if (kind === 'changeDealer') await store.outbox.state('changeDealer', { unit, dealer: to, reason });
    if (kind === 'bindVin') await store.outbox.state('bindVin', { unit, vin: vinIn(to) });
    if (kind === 'ship') await store.outbox.state('ship', { unit, carrier: to });
    if (kind === 'comeBack') await store.outbox.state('comeBack', { unit, reason });
    if (kind === 'cancel') await store.outbox.state('cancel', { unit, reason });
    this.done = t(`change.${kind}`);
    const why = form.querySelector<HTMLInputElement>('[name=reason]');
    if (why) why.value = '';
  }
}
