import { html, nothing, type TemplateResult } from 'lit';
import type { ClearByRow } from '../../server/contract/forecast.ts';
import type { ComparedUnit, PlansReply } from '../../server/contract/plans.ts';
import type { PlanChange } from '../../server/core/forecast/plan-change.ts';
import { unitPath } from '../data/route.ts';
import { reasonText } from '../words/reasons.ts';
import { locale, t, type WordKey } from '../words/catalogue.ts';
import { percent } from './late-table.ts';

const HEADS: WordKey[] = ['late.unit', 'late.promise', 'plans.readyBefore', 'plans.readyAfter', 'plans.moves', 'plans.missing'];

const timeIn = (zone: string): Intl.DateTimeFormat => new Intl.DateTimeFormat(locale(), { timeZone: zone, weekday: 'short', month: 'short', day: 'numeric', hour: 'numeric', minute: '2-digit' });

/** A change in words. */
export function changeWords(change: PlanChange, zone: string, holds: readonly ClearByRow[]): string {
  switch (change.kind) {
    case 'overtime': return t('plans.said.overtime', { hours: figure(change.minutes / 60), from: change.from, to: change.to });
    case 'extraDay': return t('plans.said.extraDay', { date: change.date });
    case 'sequence': return t('plans.said.sequence', { unit: change.unit, before: change.before });
    case 'heads': return t('plans.said.heads', { heads: change.heads, planned: change.planned, station: change.station });
    case 'places': return t('plans.said.places', { places: change.places, station: change.station });
    case 'standard': return t('plans.said.standard', { percent: change.lessPercent, station: change.station });
    case 'clearHold': {
      const what = reasonText(holds.find(({ hold }) => hold === change.hold)?.what ?? '');
      return t('plans.said.clearHold', { what, unit: change.unit, time: timeIn(zone).format(change.at) });
    }
  }
}

const figure = (value: number): string => new Intl.NumberFormat(locale(), { maximumFractionDigits: 1 }).format(value);

/** Both plans unit by unit, those first whose probability of being late falls most. */
export function plansTable(plant: string, zone: string, { units, lateBefore, lateAfter }: PlansReply): TemplateResult {
  return html`<p class="sum">${t('plans.late', { before: figure(lateBefore), after: figure(lateAfter) })}</p>
    <div class="table" tabindex="0" role="region" aria-label=${t('plans.result')}><table>
      <thead><tr>${HEADS.map((head) => html`<th scope="col">${t(head)}</th>`)}</tr></thead>
      <tbody>${units.map((unit) => row(plant, timeIn(zone), unit))}</tbody></table></div>`;
}

function row(plant: string, time: Intl.DateTimeFormat, { unit, promise, before, after, minutes }: ComparedUnit): TemplateResult {
  return html`<tr><th scope="row"><a href=${unitPath(plant, unit)}>${unit}</a></th><td>${promise ?? ''}</td>
    <td>${before.p50 === null ? '–' : time.format(before.p50)}</td><td>${after.p50 === null ? '–' : time.format(after.p50)}</td>
    <td>${minutes === null ? '' : moved(minutes)}</td>
    <td>${before.missing === null || after.missing === null ? nothing : before.missing === after.missing ? percent(after.missing) : html`${percent(before.missing)} → <strong>${percent(after.missing)}</strong>`}</td></tr>`;
}

function moved(minutes: number): string {
  if (Math.abs(minutes) < 1) return t('plans.same');
  const whole = Math.round(Math.abs(minutes));
  const [days, hours, rest] = [Math.floor(whole / 1_440), Math.floor((whole % 1_440) / 60), whole % 60];
  const time = [days > 0 ? `${days} d` : '', hours > 0 ? `${hours} h` : '', days === 0 && rest > 0 ? `${rest} min` : ''].filter((part) => part !== '').join(' ');
  return t(minutes < 0 ? 'plans.earlier' : 'plans.later', { time });
}
