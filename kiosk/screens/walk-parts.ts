import { html, nothing, type TemplateResult } from 'lit';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { unitPath } from '../data/route.ts';
import { walkingOrder, type WalkReport, type WalkStep } from '../data/walk.ts';
import { stateTag } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';

/** The slots a step is about, or how many free places; `''` where a station has one place. */
export function slotWords({ slots, places, unit }: WalkStep): string {
  const [first] = slots;
  if (first !== undefined && slots.length > 1) return t('walk.slots', { from: first, to: slots.at(-1) ?? first });
  if (first !== undefined) return t('walk.slot', { slot: first });
  return unit === null && places > 1 ? t('walk.freePlaces', { n: places }) : '';
}

/** A step in few words: its place and what is said to stand there. */
export function stepWords(step: WalkStep): TemplateResult {
  const slots = slotWords(step);
  return html`<b>${step.station.code}</b>${slots ? html` ${slots}` : nothing} <span class="soft">${step.unit?.state.unit ?? t('walk.isEmpty')}</span>`;
}

export function unitLink(view: Snapshot, row: UnitRow): TemplateResult {
  return html`<a href=${unitPath(view.plant.code, row.state.unit)}>${row.state.unit}</a>`;
}

function placeWords({ state: { place } }: UnitRow): string {
  return place ? [place.station, place.slot === '' ? '' : t('walk.slot', { slot: place.slot })].join(' ').trim() : '';
}

/** Where the unit was said to be: a station, or another slot of the station it was found at. */
function saidWords(view: Snapshot, row: UnitRow, said: string): string {
  const isStation = walkingOrder(view.plant).some(({ station }) => station.code === said);
  return isStation || row.state.place === null ? said : `${row.state.place.station} ${t('walk.slot', { slot: said })}`;
}

export function differenceList(view: Snapshot, { corrected, notFound }: WalkReport): TemplateResult {
  if (corrected.length + notFound.length === 0) return html`<p class="soft">${t('walk.noDifferences')}</p>`;
  return html`<ul>${notFound.map(({ row, said }) => html`<li>${stateTag('notFound')} ${unitLink(view, row)} ${t('walk.notFound', { said })}</li>`)}
    ${corrected.map(({ row, said }) => html`<li>${stateTag('flagged')} ${unitLink(view, row)}
      ${said === '' ? t('walk.found', { at: placeWords(row) }) : t('walk.corrected', { at: placeWords(row), said: saidWords(view, row, said) })}</li>`)}</ul>`;
}

/** Units in the plant that stand nowhere known, each with a way to say where. */
export function lostList(view: Snapshot, lost: readonly UnitRow[], stands: (unit: string, station: string, slot: string) => void): TemplateResult | typeof nothing {
  if (lost.length === 0) return nothing;
  const submit = (event: SubmitEvent, unit: string): void => {
    event.preventDefault();
    const said = new FormData(event.target as HTMLFormElement);
    const station = String(said.get('station') ?? '');
    if (station !== '') stands(unit, station, String(said.get('slot') ?? '').trim());
  };
  return html`<div class="card"><h2>${t('walk.lost')}</h2><p class="soft">${t('walk.lostWhy')}</p><ul>${lost.map((row) => html`<li>
    <div class="row"><b>${unitLink(view, row)}</b> <span class="soft">${row.state.lastStation ? t('walk.last', { station: row.state.lastStation }) : nothing}</span></div>
    <form class="lost" @submit=${(event: SubmitEvent) => submit(event, row.state.unit)}>
      <label>${t('walk.standsAt')} <select name="station" required><option value=""></option>${walkingOrder(view.plant).map(({ station }) => html`<option value=${station.code}>${station.code} ${station.name}</option>`)}</select></label>
      <label class="slot">${t('walk.atSlot')} <input name="slot" maxlength="20" autocomplete="off" /></label>
      <button>${t('walk.here')}</button></form></li>`)}</ul></div>`;
}

/** What the walk came to: how many units were confirmed, corrected and not found, and which. */
export function walkSummary(view: Snapshot, report: WalkReport): TemplateResult {
  const { confirmed, corrected, notFound } = report;
  return html`<div class="card"><dl>
      <div><dt>${t('walk.nConfirmed')}</dt><dd>${confirmed.length}</dd></div>
      <div><dt>${t('walk.nCorrected')}</dt><dd>${corrected.length}</dd></div>
      <div><dt>${t('walk.nNotFound')}</dt><dd>${notFound.length}</dd></div></dl>
    <h2>${t('walk.differences')}</h2>${differenceList(view, report)}
    ${confirmed.length > 0 ? html`<details><summary>${t('walk.nConfirmed')}: ${confirmed.length}</summary><p class="links">${confirmed.map((row) => html`<span>${unitLink(view, row)} <span class="soft">${placeWords(row)}</span></span>`)}</p></details>` : nothing}</div>`;
}
