import { html, nothing, type TemplateResult } from 'lit';
import type { LoadRow, LoadUnit } from '../../server/core/loads/loads-report.ts';
import type { Instant } from '../../server/core/units.ts';
import { unitPath } from '../data/route.ts';
import { stateTag, type StateName } from '../styles/states.ts';
import { locale, t } from '../words/catalogue.ts';

/** What can be done with a load. */
export interface LoadActions {
  call(load: LoadRow): void;
  /** Those that are released go; the others stay on the load. */
  pickUp(load: LoadRow): void;
  takeOff(unit: string): void;
  cameBack(unit: string, reason: string): void;
  plan(load: string, carrier: string, pickUp: string, note: string): void;
}

export interface LoadPlace {
  plant: string;
  zone: string;
  /** Probability of missing the truck above which a load is at risk. */
  threshold: number;
  actions: LoadActions;
}

export function loadTime(zone: string, t0: Instant): string {
  return new Intl.DateTimeFormat(locale(), { timeZone: zone, weekday: 'short', month: 'short', day: 'numeric', hour: 'numeric', minute: '2-digit' }).format(t0);
}

/** In time, at risk or late for its truck; null where nobody can tell. */
export function loadStanding({ outlook }: LoadRow, threshold: number): StateName | null {
  const missing = outlook?.missing ?? null;
  if (missing === null) return null;
  return missing >= 1 ? 'late' : missing > threshold ? 'atRisk' : 'inTime';
}

/** A load that waits: when its truck comes, whether all will be ready, what to do next, and its units. */
export function loadCard(place: LoadPlace, row: LoadRow): TemplateResult {
  const { zone, threshold, actions } = place;
  const standing = loadStanding(row, threshold);
  return html`<article class="card load" aria-label=${`${t('loads.name')} ${row.load}`}>
    <header><h3>${row.load} <span>${row.carrier || t('loads.noCarrier')}</span></h3> ${standing ? stateTag(standing) : nothing}</header>
    <p class="when">${row.pickUp === null ? t('loads.noPickUp') : t('loads.pickUp', { time: loadTime(zone, row.pickUp) })}</p>
    <p>${row.standing === 'partlyGone' ? html`${t('loads.standing.partlyGone')}. ` : nothing}${row.called ? t('loads.calledBy', { time: loadTime(zone, row.called.at), who: row.called.who }) : t('loads.standing.planned')}${row.note ? html`. ${row.note}` : nothing}</p>
    ${readyWords(row, zone)}
    ${row.toGo === 0 ? nothing : next(row, actions)}
    <ul>${row.units.map((unit) => unitLine(place, unit))}${row.cameBack.map((back) => html`<li>${backLine(place, back)}</li>`)}</ul>
    <details><summary>${t('loads.change')}</summary>${planForm(zone, row, actions)}</details></article>`;
}

function readyWords({ outlook, toGo, released }: LoadRow, zone: string): TemplateResult | typeof nothing {
  if (toGo === 0) return nothing;
  const { p50 = null, p90 = null, missing = null } = outlook ?? {};
  return html`<p>${released < toGo && p50 !== null ? t('loads.allReady', { p50: loadTime(zone, p50), p90: p90 === null ? '–' : loadTime(zone, p90) }) : nothing}
    ${missing === null ? nothing : html`<b class="risk">${t('loads.missing', { n: Math.round(missing * 100) })}</b>`}</p>`;
}

/** The one thing to do next is the large button: to call while nobody has called, then to say what was picked up. */
function next(row: LoadRow, actions: LoadActions): TemplateResult {
  const { toGo, released, called } = row;
  const words = released === toGo ? t('loads.pickAll', { all: toGo }) : t('loads.pick', { n: released, all: toGo });
  return html`<div class="next">${called ? nothing : html`<button class="main" @click=${() => actions.call(row)}>${t('loads.call')}</button>`}
    <button class=${called ? 'main' : ''} ?disabled=${released === 0} @click=${() => actions.pickUp(row)}>${words}</button></div>
    ${released === 0 ? html`<p class="soft">${t('loads.pickNone')}</p>` : released < toGo ? html`<p class="soft">${t('loads.stays')}</p>` : nothing}`;
}

function unitLine(place: LoadPlace, unit: LoadUnit): TemplateResult {
  const { plant, zone, actions } = place;
  const when = unit.shipped !== null ? t('loads.gone', { time: loadTime(zone, unit.shipped) }) : unit.released !== null ? t('loads.releasedAt', { time: loadTime(zone, unit.released) })
    : unit.ready === null ? '' : t('loads.ready', { time: loadTime(zone, unit.ready) });
  return html`<li><span class="unit"><a href=${unitPath(plant, unit.unit)}>${unit.unit}</a> ${unit.released !== null && unit.shipped === null ? '✔ ' : nothing}${t(`stage.${unit.stage}`)}${unit.place && unit.released === null ? ` ${unit.place}` : nothing}
      <small class="figures">${[unit.model, unit.dealer, when].filter((said) => said !== '').join(', ')}</small></span>
    ${unit.shipped !== null ? backForm(unit.unit, actions) : html`<button aria-label=${t('loads.offOf', { unit: unit.unit })} @click=${() => actions.takeOff(unit.unit)}>${t('loads.off')}</button>`}</li>`;
}

function backLine({ plant, zone }: LoadPlace, { unit, at, reason }: LoadRow['cameBack'][number]): TemplateResult {
  return html`<span class="unit"><a href=${unitPath(plant, unit)}>${unit}</a></span> <span>◆ ${t('loads.cameBack', { time: loadTime(zone, at), reason })}</span>`;
}

function backForm(unit: string, actions: LoadActions): TemplateResult {
  const submit = (event: SubmitEvent): void => {
    event.preventDefault();
    actions.cameBack(unit, String(new FormData(event.target as HTMLFormElement).get('reason') ?? '').trim());
  };
  return html`<details class="back"><summary aria-label=${t('loads.backOf', { unit })}>${t('loads.back')}</summary><form @submit=${submit}>
    <label>${t('loads.why')} <input name="reason" required maxlength="500" autocomplete="off" /></label><button>${t('loads.back')}</button></form></details>`;
}

/** Carrier and time of a load, to be said anew. */
function planForm(zone: string, row: LoadRow, actions: LoadActions): TemplateResult {
  const submit = (event: SubmitEvent): void => {
    event.preventDefault();
    const said = new FormData(event.target as HTMLFormElement);
    actions.plan(row.load, String(said.get('carrier')).trim(), String(said.get('pickUp')), String(said.get('note')).trim());
  };
  return html`<form class="form" @submit=${submit}>${planFields(zone, row)}<button>${t('loads.save')}</button></form>`;
}

/** The fields that a load is planned with; the list of carriers is the screen's. */
export function planFields(zone: string, { carrier, pickUp, note }: Pick<LoadRow, 'carrier' | 'pickUp' | 'note'>): TemplateResult {
  return html`<label>${t('loads.carrier')} <input name="carrier" list="carriers" maxlength="100" .value=${carrier} autocomplete="off" /></label>
    <label>${t('loads.time')} <input name="pickUp" type="datetime-local" .value=${pickUp === null ? '' : localMinute(zone, pickUp)} /></label>
    <label>${t('loads.note')} <input name="note" maxlength="500" .value=${note} autocomplete="off" /></label>`;
}

function localMinute(zone: string, at: Instant): string {
  return new Date(at).toLocaleString('sv-SE', { timeZone: zone }).slice(0, 16).replace(' ', 'T');
}

/** A load that is gone, in one row. */
export function goneLoad(place: LoadPlace, row: LoadRow): TemplateResult {
  return html`<li><details class="gone" ?open=${row.cameBack.length > 0}><summary><b>${row.load}</b> <span>${row.carrier || t('loads.noCarrier')}</span> <span class="soft figures">${row.pickedUp === null ? nothing : t('loads.gone', { time: loadTime(place.zone, row.pickedUp) })}</span>
      <span>${row.units.map(({ unit }) => unit).join(' ')}</span></summary>
    <ul>${row.units.map((unit) => html`<li><span class="unit"><a href=${unitPath(place.plant, unit.unit)}>${unit.unit}</a> ${unit.model}, ${unit.dealer}</span> ${backForm(unit.unit, place.actions)}</li>`)}
      ${row.cameBack.map((back) => html`<li>${backLine(place, back)}</li>`)}</ul></details></li>`;
}
