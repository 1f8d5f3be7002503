import { html, nothing, type TemplateResult } from 'lit';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { DRAWINGS } from '../../server/core/facts/quality-facts.ts';
import type { WorkState } from '../../server/core/facts/quality-state.ts';
import { nextCovering, openWork } from '../../server/core/gates/access.ts';
import type { PhotoBox } from '../data/photo-box.ts';
import { t } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';
import '../elements/unit-drawing.ts';
import './photo-view.ts';

export interface WorkSteps {
  fix(work: WorkState): void;
  verify(work: WorkState): void;
  reopen(work: WorkState): void;
}

const MARK = { minor: '▲', major: '▲', safety: '⬣' };

/** The unit from all sides, with the number of each open work where it is. */
export function workDrawings(work: readonly WorkState[]): TemplateResult {
  const marks = openWork(work).flatMap(({ spots, severity }, i) => spots.map((spot) => ({ spot, label: String(i + 1), grave: severity === 'safety' })));
  return html`<div class="views">${DRAWINGS.map((drawing) => html`<div><small>${t(`drawing.${drawing}`)}</small>
    <sh-unit-drawing .drawing=${drawing} .name=${t('drawing.marks', { drawing: t(`drawing.${drawing}`), n: marks.filter(({ spot }) => spot.drawing === drawing).length })} .marks=${marks}></sh-unit-drawing></div>`)}</div>`;
}

/** Open work of the unit, gravest first, each with its next step: fixed, then verified by another person, or open again. */
export function workList(view: Snapshot, row: UnitRow, box: PhotoBox, steps: WorkSteps): TemplateResult {
  const open = openWork(row.state.work);
  if (open.length === 0) return html`<p class="tag green">✔ ${t('work.none')}</p>`;
  return html`<ol class="list">${open.map((one, i) => html`<li class=${one.severity === 'safety' ? 'grave' : ''}>
    <div><b>${i + 1}. ${reasonText(one.what)}</b> ${one.note ? html`<br />${one.note}` : nothing}</div>
    <div class="tags"><span class="tag ${one.severity === 'safety' ? 'red' : 'yellow'}">${MARK[one.severity]} ${t(`severity.${one.severity}`)}</span>
      <span class="tag ${one.status === 'fixed' ? 'blue' : ''}">${one.status === 'fixed' ? '◆' : '■'} ${t(one.status === 'fixed' ? 'work.fixed' : 'work.found')}</span>
      ${one.belongsTo === null ? nothing : html`<span>${one.belongsTo}</span>`} ${one.reopened > 0 ? html`<span>${t('work.reopened', { n: one.reopened })}</span>` : nothing}
      <span class="soft">${said(view, one)}</span></div>
    ${one.zone === null ? nothing : html`<div>${access(view, row, one.zone)}</div>`}
    ${one.photos.length === 0 ? nothing : html`<div class="tags">${one.photos.map((photo) => html`<sh-photo-view .box=${box} .photo=${photo}></sh-photo-view>`)}</div>`}
    <div class="choices">${one.status === 'found' ? html`<button @click=${() => steps.fix(one)}>${t('work.fix')}</button>`
      : html`<button @click=${() => steps.verify(one)}>${t('work.verify')}</button><button @click=${() => steps.reopen(one)}>${t('work.reopen')}</button>`}</div></li>`)}</ol>`;
}

function said(view: Snapshot, { found, fixed }: WorkState): string {
  const done = fixed ?? found;
  const { date, time } = localOf(view.plant.timeZone, done.at);
  return `${done.who} ${date} ${time}`;
}

/** How long the zone can still be reached (definitions §8), by standard minutes. */
function access({ plant }: Snapshot, { state, visit }: UnitRow, code: string): string {
  const zone = plant.zones?.find((one) => one.code === code)?.name ?? code;
  if (state.covered.includes(code)) return t('quality.covered', { zone });
  const next = nextCovering(plant, state, code, visit?.minutes.work ?? 0);
  return next ? t('quality.coveredBy', { station: next.station, zone, minutes: Math.round(next.minutes) }) : zone;
}
