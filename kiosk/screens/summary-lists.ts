import { html, nothing, type TemplateResult } from 'lit';
import type { ToldShift } from '../../server/contract/shift-summary.ts';
import { unitPath } from '../data/route.ts';
import { stateTag } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';
import { stationText, type SummaryText } from './summary-text.ts';

/** How many rows of a list are printed; `summary.styles.ts` hides the rest on paper. */
type Printed = 4 | 5 | 6 | 8;

/** All rows on a screen; on paper the first `printed`, and how many more there are, so that the page stays one. */
export function list<T>(rows: readonly T[], printed: Printed, row: (one: T) => TemplateResult): TemplateResult {
  return html`<ul class="first-${printed}">${rows.map(row)}</ul>
    ${rows.length > printed ? html`<p class="paper soft">${t('summary.more', { n: rows.length - printed })}</p>` : nothing}`;
}

function section<T>(id: string, title: string, rows: readonly T[], none: string, printed: Printed, row: (one: T) => TemplateResult): TemplateResult {
  return html`<section aria-labelledby=${id}><h2 id=${id}>${title}</h2>${rows.length === 0 ? html`<p>${none}</p>` : list(rows, printed, row)}</section>`;
}

/** What is open: stops, holds, units off the line, and what units left short of. */
export function openSections({ stops, holds, offLine, shorts }: ToldShift, plant: string, text: SummaryText): TemplateResult {
  const unit = (serial: string): TemplateResult => html`<a href=${unitPath(plant, serial)}>${serial}</a>`;
  const age = ({ age: minutes, since }: { age: number; since: number }): TemplateResult => html`<span class="soft">${t('summary.age', { age: text.age(minutes), time: text.time(since) })}</span>`;
  return html`
    ${section('stops', t('summary.stops'), stops, t('holds.noStops'), 4, (stop) => html`<li>${stateTag('stopped')} <b>${stationText(stop.station)}</b>
      ${reasonText(stop.reason)} ${age(stop)} ${stop.note}</li>`)}
    ${section('holds', t('summary.holds'), holds, t('holds.noHolds'), 5, (hold) => html`<li>${stateTag('held')} ${unit(hold.unit)} <b>${stationText(hold.place)}</b> ${reasonText(hold.reason)}
      <span class="soft">${t('holds.keepsFrom', { what: t(`keepsFrom.${hold.keepsFrom}`, { station: hold.fromStation ?? '' }) })},</span> ${age(hold)}</li>`)}
    ${section('off-line', t('summary.offLine'), offLine, t('summary.noOffLine'), 4, (row) => html`<li>${stateTag('offLine')} ${unit(row.unit)} <b>${reasonText(row.reason)}</b> ${stationText(row.place)} ${age(row)}</li>`)}
    ${section('shorts', t('summary.shorts'), shorts, t('summary.noShorts'), 5, (short) => html`<li>${short.overdue ? stateTag('overdue') : nothing} ${unit(short.unit)} <b>${short.what}</b>,
      ${short.owner === '' ? t('summary.noOwner') : t('summary.owner', { owner: short.owner })},
      ${short.expected === null ? t('summary.notExpected') : t('summary.expected', { time: text.time(short.expected) })}${short.fitAt === null ? nothing : html`, ${t('summary.fitAt', { station: stationText(short.fitAt) })}`}
      ${age(short)}</li>`)}`;
}

/** Heads that are missing and those lent. */
export function headsSection({ heads: { missing, notStated, stations, loans } }: ToldShift, text: SummaryText): TemplateResult {
  return html`<section aria-labelledby="heads"><h2 id="heads">${t('summary.heads')}</h2>
    ${missing.length === 0 ? html`<p>${t('summary.noneMissing')}</p>` : list(missing, 6, ({ station, short, here, planned }) => html`<li><b>${stationText(station)}</b>
      ${t('summary.missing', { short: text.units(short), here: text.units(here), planned: text.units(planned) })}</li>`)}
    ${loans.length === 0 ? nothing : list(loans, 4, ({ station, from, heads, until }) => html`<li>${t('summary.loan', { heads: text.units(heads), to: stationText(station), from: from ? stationText(from) : t('summary.loanOther') })}
      <span class="soft">${until === null ? t('summary.restOfShift') : t('summary.until', { time: text.time(until) })}</span></li>`)}
    ${notStated === 0 ? nothing : html`<p class="soft">${t('summary.notStated', { n: notStated, stations })}</p>`}</section>`;
}
