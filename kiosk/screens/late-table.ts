import { html, nothing, type TemplateResult } from 'lit';
import type { ClearByRow } from '../../server/contract/forecast.ts';
import { daysText } from '../../server/contract/late-csv.ts';
import type { LateGroup, LateOutlook, LateUnit, LateUnits } from '../../server/contract/late-report.ts';
import { addDays, instantOfLocal, localOf } from '../../server/core/calendar/zone.ts';
import { unitPath } from '../data/route.ts';
import { forecastSpan, type SpanScale } from '../elements/forecast-span.ts';
import { stateTag } from '../styles/states.ts';
import { reasonText } from '../words/reasons.ts';
import { stageName } from '../words/after-line.ts';
import { locale, t, wordKey, type WordKey } from '../words/catalogue.ts';

/** What the whole table shares. */
export interface LateTable {
  plant: string;
  zone: string;
  group: LateGroup;
  at: number;
}

const HEADS: WordKey[] = ['late.unit', 'late.dealer', 'late.promise', 'late.where', 'late.age', 'late.forecast', 'late.probability', 'late.ready', 'late.minutes', 'late.days'];
const MOST_DAYS = 21;

/** The report as one table, each group under a heading of its own. On a narrow page a unit is a card, each cell with its column's name. */
export function lateTable(table: LateTable, groups: readonly LateUnits[]): TemplateResult {
  const scale = scaleOf(table, groups.flatMap(({ units }) => units));
  return html`<div class="table" tabindex="0" role="region" aria-label=${t('nav.late')}><table>
    <thead><tr>${HEADS.map((head, index) => html`<th scope="col" class=${index > 7 ? 'number' : ''}>${t(head)}${head === 'late.forecast' ? axis(table, scale) : nothing}</th>`)}</tr></thead>
    ${groups.map(({ key, units }) => html`<tbody>${table.group === 'none' ? nothing : html`<tr class="group"><th scope="rowgroup" colspan=${HEADS.length}>
      ${groupName(table.group, key)} <span class="soft">${units.length === 1 ? t('late.countOne') : t('late.count', { n: units.length })}</span></th></tr>`}
      ${units.map((unit) => unitRow(table, scale, unit))}</tbody>`)}</table></div>`;
}

function groupName(group: LateGroup, key: string): string {
  if (group === 'load' && key === '') return t('late.noLoad');
  const word = group === 'stage' ? wordKey(`stage.${key}`) : null;
  return word ? t(word) : key;
}

/** From now to the last that is shown, three weeks at most: one old promise must not squeeze all others. */
function scaleOf({ at, zone }: LateTable, units: readonly LateUnit[]): SpanScale {
  const ends = units.flatMap(({ outlook }) => (outlook === null ? [] : [outlook.p90 ?? at, outlook.due]));
  const to = Math.min(Math.max(at + 86_400_000, ...ends), at + MOST_DAYS * 86_400_000);
  const days: number[] = [];
  for (let date = addDays(localOf(zone, at).date, 1), start = 0; (start = instantOfLocal(zone, date, '00:00')) < to; date = addDays(date, 1)) days.push(start);
  return { from: at, to, days };
}

function axis({ zone }: LateTable, { from, to }: SpanScale): TemplateResult {
  const day = new Intl.DateTimeFormat(locale(), { timeZone: zone, month: 'short', day: 'numeric' });
  return html`<small style="display: flex; justify-content: space-between"><span>${day.format(from)}</span><span>${day.format(to)}</span></small>`;
}

function unitRow({ plant, zone }: LateTable, scale: SpanScale, unit: LateUnit): TemplateResult {
  const time = new Intl.DateTimeFormat(locale(), { timeZone: zone, weekday: 'short', month: 'short', day: 'numeric', hour: 'numeric', minute: '2-digit' });
  const { outlook } = unit;
  return html`<tr class="unit">
    <th scope="row"><a class="whole" href=${unitPath(plant, unit.unit)}>${unit.unit}</a><small><span class="whole">${unit.model}</span> <span class="whole">${unit.order}</span></small></th>
    <td data-head=${t('late.dealer')}>${unit.dealer}</td>
    <td data-head=${t('late.promise')}><span class="whole">${unit.promise}</span>${unit.promiseMovedBy ? html`<small>${t('late.first', { date: unit.firstPromise ?? '', who: unit.promiseMovedBy })}</small>` : nothing}</td>
    <td data-head=${t('late.where')}>${unit.place}${unit.holds.map((reason) => html`<div>${stateTag('held')} ${reasonText(reason)}</div>`)}
      ${unit.stops.map((reason) => html`<div>${stateTag('stopped')} ${reasonText(reason)}</div>`)}
      ${unit.openWork.map((what) => html`<div>${t('late.open', { what })}</div>`)}
      ${(outlook?.clearBy ?? []).map((row) => html`<small>${clearByWords(row, time)}</small>`)}</td>
    <td data-head=${t('late.age')}>${t(`stage.${unit.stage}`)}${unit.daysInStage === null ? nothing : html`<small>${t('late.ageDays', { n: daysText(unit.daysInStage) })}</small>`}</td>
    <td data-head=${t('late.forecast')} class="forecast">${outlook === null ? nothing : spanOf(outlook, scale, time)}</td>
    <td data-head=${t('late.probability')}>${outlook === null ? nothing : probability(plant, unit.unit, outlook)}</td>
    <td data-head=${t('late.ready')}>${unit.ready === null ? nothing : time.format(unit.ready)}</td>
    <td data-head=${t('late.minutes')} class="number">${Math.round(unit.minutesLate)}</td>
    <td data-head=${t('late.days')} class="number">${unit.calendarDaysLate}</td></tr>`;
}

function spanOf({ p10, p50, p90, due }: LateOutlook, scale: SpanScale, time: Intl.DateTimeFormat): TemplateResult | typeof nothing {
  if (p10 === null || p50 === null || p90 === null) return nothing;
  const words = t('late.spanWords', { from: time.format(p10), to: time.format(p90), middle: time.format(p50), promise: time.format(due - 1) });
  return html`${forecastSpan({ p10, p50, p90, promise: due }, scale, words)}<small>${time.format(p50)}</small>`;
}

function probability(plant: string, unit: string, { standing, missing, critical }: LateOutlook): TemplateResult {
  return html`${stateTag(standing)} ${missing === null ? nothing : html`<span class="figures whole">${percent(missing)}</span>`}
    ${critical.length === 0 ? nothing : html`<small>${t('late.critical', { stations: ends(critical.map(stageName)) })}</small>`}
    ${standing === 'inTime' ? nothing : html`<a class="back" href=${`/${encodeURIComponent(plant)}/plans?unit=${encodeURIComponent(unit)}`}>${t('late.backWhat')}</a>`}`;
}

/** A long chain by its ends. */
function ends(names: readonly string[]): string {
  return names.length <= 3 ? names.join(', ') : `${names[0]} … ${names.at(-1)}`;
}

/** Of many runs none or all may still be a little: not told as certain unless it is. */
export function percent(share: number): string {
  if (share > 0 && share < 0.01) return '< 1 %';
  if (share < 1 && share > 0.99) return '> 99 %';
  return `${Math.round(share * 100)} %`;
}

export function clearByWords({ what, kind, latest }: ClearByRow, time: Intl.DateTimeFormat): string {
  const name = kind === 'offLine' ? `${t('late.backOnLine')}: ${reasonText(what)}` : reasonText(what);
  return latest === null ? t('late.tooLate', { what: name }) : t('late.clearBy', { what: name, time: time.format(latest) });
}
