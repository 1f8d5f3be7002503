import { html, nothing, type TemplateResult } from 'lit';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { BreachState } from '../../server/core/facts/quality-state.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import type { UnitState } from '../../server/core/facts/unit-state.ts';
import { overridesByPin } from '../data/me.ts';
import type { Own } from '../data/outbox.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { who } from '../data/preferences.ts';
import { t } from '../words/catalogue.ts';
import { pinField, uncheckedOverride } from './unchecked-overrides.ts';

/** States that a passed gate may stand. */
export type Override = (own: Own<'overrideGate'>, pin: string | null) => void;

export interface UnitBreach {
  state: UnitState;
  breach: BreachState;
}

/** Gates that were passed and nobody has settled, the latest first; of one unit when `unit` is given. */
export function openBreaches({ units }: Snapshot, unit: string | null = null): UnitBreach[] {
  return units.filter(({ state }) => unit === null || state.unit === unit)
    .flatMap(({ state }) => state.breaches.filter(({ settled }) => settled === null).map((breach) => ({ state, breach })))
    .toSorted((a, b) => b.breach.at - a.breach.at);
}

/** What was passed, in words: over which zone, or without which check. */
export function breachWords(plant: Plant, { gate, detail, station }: BreachState): string {
  const zone = plant.zones?.find(({ code }) => code === detail)?.name ?? detail;
  const check = plant.checks?.find(({ code }) => code === detail)?.name ?? detail;
  return t(`breach.${gate}`, { zone, check, station: station ?? '' });
}

/**
 * Passed gates of `unit` (null: of every unit), each with the reason by which one who may lets it stand; one that was overridden here keeps its place
 * with a mark until the server has judged that. At a kiosk it takes the PIN of the badge besides.
 */
export function breachList({ view, outbox }: PlantStore, unit: string | null, override: Override): TemplateResult | typeof nothing {
  const unchecked = outbox.unchecked().filter(({ fact }) => unit === null || fact.unit === unit);
  const breaches = view ? openBreaches(view, unit) : [];
  if (!view || breaches.length + unchecked.length === 0) return nothing;
  return html`<h2>${t('breach.title')}</h2><ul class="list">${unchecked.map((one) => html`<li><b>${one.fact.unit}</b> ${uncheckedOverride(outbox, one)}</li>`)}
    ${breaches.map((breach) => openBreach(view, breach, override))}</ul>`;
}

function openBreach({ plant }: Snapshot, { state: { unit }, breach }: UnitBreach, override: Override): TemplateResult {
  const { date, time } = localOf(plant.timeZone, breach.at);
  return html`<li class="grave"><div><span class="tag red">⬣ ${t('breach.passed')}</span> <b>${unit}</b> ${breachWords(plant, breach)} <span class="soft">${breach.who} ${date} ${time}</span></div>
    ${overrideForm({ unit, breach: breach.id }, { reason: t('breach.reason'), of: `${unit} ${breach.detail}` }, override)}</li>`;
}

/** Asks for the reason by which a passed gate may stand, and at a kiosk for the PIN of the badge besides. `of`: what tells it from its neighbours. */
export function overrideForm(gate: { unit: string; breach: string }, words: { reason: string; of: string }, override: Override): TemplateResult {
  const pin = overridesByPin();
  const submit = (event: SubmitEvent): void => {
    event.preventDefault();
    const form = new FormData(event.target as HTMLFormElement);
    const reason = String(form.get('reason')).trim();
    if (reason !== '') override({ ...gate, reason }, pin ? String(form.get('pin')) : null);
  };
  return html`<form class="settle" @submit=${submit}><label>${words.reason}<input name="reason" required maxlength="300" autocomplete="off" aria-label="${words.reason} ${words.of}" /></label>
    ${pin ? pinField(who() === '' ? t('access.pin') : t('breach.badgeAndPin', { who: who() })) : nothing}<button>${t('breach.override')}</button></form>`;
}
