import { html, type TemplateResult } from 'lit';
import { instantOfLocal } from '../../server/core/calendar/zone.ts';
import type { KeepsFrom, ShortItem } from '../../server/core/facts/fact.ts';
import type { Station } from '../../server/core/setup/plant.ts';
import type { Zone } from '../../server/core/setup/quality.ts';
import { t } from '../words/catalogue.ts';
import { HOLD_REASONS, PULL_REASONS, statedReason, STOP_REASONS } from '../words/reasons.ts';

type Reasons = typeof HOLD_REASONS | typeof STOP_REASONS | typeof PULL_REASONS;

function reasons(keys: Reasons, choose: (reason: string) => void): TemplateResult {
  return html`<div class="grid">${keys.map((key) => html`<button @click=${() => choose(statedReason(key))}>${t(key)}</button>`)}</div>`;
}

/** Why a unit is held; the hold keeps it from going on with work unless another is chosen first. */
export function holdPanel(keepsFrom: KeepsFrom, keep: (chosen: KeepsFrom) => void, choose: (reason: string) => void): TemplateResult {
  const kinds: KeepsFrom[] = ['work', 'leaving', 'shipping'];
  return html`<h2>${t('station.keeps')}</h2>
    <div class="grid">${kinds.map((kind) => html`<button aria-pressed=${kind === keepsFrom} @click=${() => keep(kind)}>${t(`keepsFrom.${kind}`)}</button>`)}</div>
    <h2>${t('station.why')}</h2>${reasons(HOLD_REASONS, choose)}`;
}

export function stopPanel(choose: (reason: string) => void): TemplateResult {
  return html`<h2>${t('station.why')}</h2>${reasons(STOP_REASONS, choose)}`;
}

export function pullOffPanel(bays: readonly Station[], to: string | null, bay: (code: string) => void, choose: (reason: string) => void): TemplateResult {
  return html`<div class="grid">${bays.map(({ code, name }) => html`<button aria-pressed=${code === to} @click=${() => bay(code)}>${name}</button>`)}</div>
    <h2>${t('station.why')}</h2>${reasons(PULL_REASONS, choose)}`;
}

export function shortPanel(stations: readonly Station[], zones: readonly Zone[], zone: string, state: (item: ShortItem) => void): TemplateResult {
  const submit = (event: SubmitEvent): void => {
    event.preventDefault();
    const form = new FormData(event.target as HTMLFormElement);
    const said = (name: string): string => String(form.get(name) ?? '').trim();
    const [date, time] = said('expected').split('T');
    state({ what: said('what'), owner: said('owner'), fitAt: said('fitAt') || null, ...(said('zone') ? { zone: said('zone') } : {}), expected: date && time ? instantOfLocal(zone, date, time) : null });
  };
  return html`<form class="form" @submit=${submit}>
    <label>${t('station.what')}<input name="what" required maxlength="200" autocomplete="off" /></label>
    <label>${t('station.whose')}<input name="owner" maxlength="200" autocomplete="off" /></label>
    <label>${t('station.fitAt')}<select name="fitAt"><option value="">${t('station.notSaid')}</option>
      ${stations.map(({ code, name }) => html`<option value=${code}>${code} ${name}</option>`)}</select></label>
    ${zones.length === 0 ? '' : html`<label>${t('work.zone')}<select name="zone"><option value="">${t('work.noZone')}</option>${zones.map(({ code, name }) => html`<option value=${code}>${name}</option>`)}</select></label>`}
    <label>${t('station.expected')}<input name="expected" type="datetime-local" /></label>
    <button class="main">${t('station.ok')}</button></form>`;
}

/** The time that the next scan counts for; null: it counts for now after all, which is offered once a time was `said`. */
export function timePanel(now: string, said: string | null, use: (time: string | null) => void): TemplateResult {
  const submit = (event: SubmitEvent): void => {
    event.preventDefault();
    use(String(new FormData(event.target as HTMLFormElement).get('time')));
  };
  return html`<form class="form" @submit=${submit}>
    <label>${t('station.itWasAt')}<input name="time" type="time" required .value=${said ?? now} /></label>
    <button class="main">${t('station.use')}</button></form>
    ${said === null ? '' : html`<button @click=${() => use(null)}>${t('station.useNow')}</button>`}`;
}
