import { html, nothing, type TemplateResult } from 'lit';
import { daysText } from '../../server/contract/late-csv.ts';
import type { LateGroup, LateUnit, LateUnits } from '../../server/contract/late-report.ts';
import { unitPath } from '../data/route.ts';
import { stateTag } from '../styles/states.ts';
import { reasonText } from '../words/reasons.ts';
import { locale, t, wordKey, type WordKey } from '../words/catalogue.ts';

const HEADS: WordKey[] = ['late.unit', 'late.dealer', 'late.promise', 'late.where', 'late.age', 'late.ready', 'late.minutes', 'late.days'];

/** The report as one table, each group under a heading of its own. On a narrow page a unit is a card, each cell with its column's name. */
export function lateTable(plant: string, zone: string, group: LateGroup, groups: readonly LateUnits[]): TemplateResult {
  return html`<div class="table" tabindex="0" role="region" aria-label=${t('nav.late')}><table>
    <thead><tr>${HEADS.map((head, index) => html`<th scope="col" class=${index > 5 ? 'number' : ''}>${t(head)}</th>`)}</tr></thead>
    ${groups.map(({ key, units }) => html`<tbody>${group === 'none' ? nothing : html`<tr class="group"><th scope="rowgroup" colspan=${HEADS.length}>
      ${groupName(group, key)} <span class="soft">${units.length === 1 ? t('late.countOne') : t('late.count', { n: units.length })}</span></th></tr>`}
      ${units.map((unit) => unitRow(plant, zone, unit))}</tbody>`)}</table></div>`;
}

function groupName(group: LateGroup, key: string): string {
  const word = group === 'stage' ? wordKey(`stage.${key}`) : null;
  return word ? t(word) : key;
}

function unitRow(plant: string, zone: string, unit: LateUnit): TemplateResult {
  const time = new Intl.DateTimeFormat(locale(), { timeZone: zone, weekday: 'short', month: 'short', day: 'numeric', hour: 'numeric', minute: '2-digit' });
  return html`<tr class="unit">
    <th scope="row"><a href=${unitPath(plant, unit.unit)}>${unit.unit}</a><small><span class="whole">${unit.model}</span> <span class="whole">${unit.order}</span></small></th>
    <td data-head=${t('late.dealer')}>${unit.dealer}</td>
    <td data-head=${t('late.promise')}><span class="whole">${unit.promise}</span>${unit.promiseMovedBy ? html`<small>${t('late.first', { date: unit.firstPromise ?? '', who: unit.promiseMovedBy })}</small>` : nothing}</td>
    <td data-head=${t('late.where')}>${unit.place}${unit.holds.map((reason) => html`<div>${stateTag('held')} ${reasonText(reason)}</div>`)}
      ${unit.stops.map((reason) => html`<div>${stateTag('stopped')} ${reasonText(reason)}</div>`)}
      ${unit.openWork.map((what) => html`<div>${t('late.open', { what })}</div>`)}</td>
    <td data-head=${t('late.age')}>${t(`stage.${unit.stage}`)}${unit.daysInStage === null ? nothing : html`<small>${t('late.ageDays', { n: daysText(unit.daysInStage) })}</small>`}</td>
    <td data-head=${t('late.ready')}>${unit.ready === null ? nothing : time.format(unit.ready)}</td>
    <td data-head=${t('late.minutes')} class="number">${Math.round(unit.minutesLate)}</td>
    <td data-head=${t('late.days')} class="number">${unit.calendarDaysLate}</td></tr>`;
}
