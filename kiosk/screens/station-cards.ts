import { html, nothing, type TemplateResult } from 'lit';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import type { Instant } from '../../server/core/units.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import '../elements/work-bar.ts';
import type { NextStep, StationView } from '../data/station-view.ts';
import { minutesNow } from '../data/visit-now.ts';
import { stateTag } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import { stateOf } from './board-facts.ts';
import { reasonText } from '../words/reasons.ts';

export interface CardActions {
  clearHold(hold: string): void;
  fitted(short: string, item: number): void;
}

/** The unit that stands here: how long it has worked against standard, where its minutes went, what is open on it. */
export function unitCard(view: Snapshot, row: UnitRow, now: Instant, main: NextStep, actions: CardActions): TemplateResult {
  const { state } = row;
  const model = view.plant.models.find(({ code }) => code === state.model)?.name ?? state.model ?? '';
  const minutes = minutesNow(view, row, now);
  const standard = row.visit?.standard ?? 0;
  const work = Math.floor(minutes?.work ?? 0);
  // A unit that nobody has named has no standard: its minutes of work are held against nothing.
  const words = standard > 0 ? t('station.workOf', { work, standard: Math.round(standard) }) : t('minutes.short', { n: work });
  const lost = (['held', 'stopped', 'blocked', 'rollLag'] as const).filter((name) => (minutes?.[name] ?? 0) >= 1);
  return html`<div class="card">
    <div class="row"><span class="serial">${state.unit}</span><span>${model} ${state.options.join(' + ')}</span>
      ${state.known ? nothing : stateTag('flagged')} ${row.visit?.state ? stateTag(state.place?.finished === null ? stateOf(view, row, now) : 'finished') : nothing}</div>
    ${minutes ? html`<div class="figures">${words}</div>${standard > 0 ? html`<sh-work-bar .work=${minutes.work} .standard=${standard} .words=${words}></sh-work-bar>` : nothing}
      ${lost.length > 0 ? html`<div class="row figures">${lost.map((name) => html`<span>${stateTag(name)} ${t('minutes.short', { n: Math.floor(minutes[name]) })}</span>`)}</div>` : nothing}` : nothing}
    ${state.holds.map((hold) => html`<div class="row">${stateTag('held')} <span>${reasonText(hold.reason)}</span>
      ${main.kind === 'clearHold' && main.hold === hold.id ? nothing : html`<button @click=${() => actions.clearHold(hold.id)}>${t('station.clearHold')}</button>`}</div>`)}
    ${state.shorts.map((short) => html`<div class="row"><span>${t('station.shortOf', { what: short.what, owner: short.owner })} ${short.fitAt ? `→ ${short.fitAt}` : ''}</span>
      <button @click=${() => actions.fitted(short.short, short.item)}>${t('station.fitted')}</button></div>`)}</div>`;
}

/** Who comes next, from where and when. */
export function comingList(view: Snapshot, station: StationView, arrive: (unit: string) => void): TemplateResult {
  const time = (instant: Instant): string => localOf(view.plant.timeZone, instant).time;
  return html`<div class="card"><h2 style="margin: 0">${t('station.next')}</h2>
    ${station.coming.length === 0 ? html`<p class="soft">${t('station.nextNone')}</p>` : html`<ol>${station.coming.map((row) => html`<li class="row">
      <button @click=${() => arrive(row.state.unit)}>${t('station.arrive')} ${row.state.unit}</button>
      <span class="soft">${row.state.place ? t('station.from', { station: row.state.place.station }) : ''}${row.projectedFinish ? `, ${t(row.state.place?.finished ? 'station.finishedAt' : 'station.finishesAt', { time: time(row.projectedFinish) })}` : ''}</span></li>`)}</ol>`}</div>`;
}
