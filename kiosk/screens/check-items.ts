import { html, nothing, type TemplateResult } from 'lit';
import { DRAWINGS, type ItemResult, type Spot } from '../../server/core/facts/quality-facts.ts';
import { judgeItem } from '../../server/core/gates/check.ts';
import type { UnitLabels } from '../../server/core/gates/label-figures.ts';
import type { Check, CheckItem } from '../../server/core/setup/quality.ts';
import { type Attempt, answered } from '../data/attempt.ts';
import type { PhotoBox } from '../data/photo-box.ts';
import { t } from '../words/catalogue.ts';
import { labelToCompare } from './labels-panel.ts';
import '../elements/unit-drawing.ts';
import './photo-taker.ts';
import './photo-view.ts';

export interface ItemSteps {
  answer(item: CheckItem, result: ItemResult): void;
  photo(item: CheckItem, blob: Blob | null): void;
  confirm(item: CheckItem): void;
  /** Opens and closes what may be added to an item: note, photo, place. */
  more(item: CheckItem): void;
}

const MARK = { passed: '✔', failed: '✖', notDone: '□', notJudged: '◆' } as const;
const COLOUR = { passed: 'green', failed: 'red', notDone: '', notJudged: 'blue' } as const;

/** The items of a check, each with its answer as large as a glove wants it. `opened`: items whose note, photo and place are shown; `labels`: what an item that signs a label is held against. */
export function checkItems(check: Check, attempt: Attempt, opened: ReadonlySet<string>, labels: UnitLabels | null, box: PhotoBox, steps: ItemSteps): TemplateResult {
  return html`<ol class="list">${check.items.map((item, i) => {
    const result = attempt[item.code];
    const outcome = judgeItem(item, result);
    const shown = outcome === 'failed' || opened.has(item.code);
    return html`<li class=${outcome === 'failed' ? 'grave' : outcome === 'passed' ? 'good' : ''}>
      <div class="tags"><b>${i + 1}. ${item.text}</b> <span class="tag ${COLOUR[outcome]}">${MARK[outcome]} ${t(`item.${outcome}`)}</span></div>
      ${item.label && labels ? labelToCompare(labels, item.label) : nothing}
      ${answerOf(item, result, steps)}
      ${shown ? moreOf(item, result, box, steps) : html`<button class="more" @click=${() => steps.more(item)}>${t(item.wantsPhoto ? 'item.photoWanted' : 'item.more')}</button>`}</li>`;
  })}</ol>`;
}

function answerOf(item: CheckItem, result: ItemResult | undefined, steps: ItemSteps): TemplateResult {
  const say = (more: Partial<ItemResult>): void => steps.answer(item, answered(item, result, more));
  if (item.kind === 'yesNo') {
    return html`<div class="choices"><button class="yes" aria-pressed=${result?.value === true} aria-label="${t('item.yes')}: ${item.text}" @click=${() => say({ value: true })}>${t('item.yes')}</button>
      <button class="no" aria-pressed=${result?.value === false} aria-label="${t('item.no')}: ${item.text}" @click=${() => say({ value: false })}>${t('item.no')}</button></div>`;
  }
  if (item.kind === 'choice') {
    return html`<div class="choices">${item.choices.map(({ text, passes }) => html`<button class=${passes ? 'yes' : 'no'} aria-pressed=${result?.value === text} aria-label="${text}: ${item.text}" @click=${() => say({ value: text })}>${text}</button>`)}</div>`;
  }
  const unlimited = item.low === null && item.high === null;
  const read = (event: Event): void => {
    const value = (event.target as HTMLInputElement).valueAsNumber;
    say({ value: Number.isFinite(value) ? value : '' });
  };
  return html`<label>${t('item.reading', { unit: item.unit })} <input type="number" step="any" inputmode="decimal" aria-label="${item.text} (${item.unit})" .value=${typeof result?.value === 'number' ? String(result.value) : ''} @change=${read} /></label>
    <div class="tags"><span>${limitsText(item)}</span>${unlimited ? nothing : item.confirmed ? html`<span class="tag green">✔ ${t('item.confirmed', { ...item.confirmed })}</span>` : html`<span class="tag yellow">▲ ${t('item.notConfirmed')}</span>`}</div>
    ${item.confirmed && !unlimited ? nothing : html`<div class="choices"><button class="yes" ?disabled=${typeof result?.value !== 'number'} aria-pressed=${result?.judged === true} aria-label="${t('item.judgePass')}: ${item.text}" @click=${() => say({ judged: true })}>${t('item.judgePass')}</button>
      <button class="no" ?disabled=${typeof result?.value !== 'number'} aria-pressed=${result?.judged === false} aria-label="${t('item.judgeFail')}: ${item.text}" @click=${() => say({ judged: false })}>${t('item.judgeFail')}</button>
      ${unlimited ? nothing : html`<button aria-label="${t('item.confirm')}: ${item.text}" @click=${() => steps.confirm(item)}>${t('item.confirm')}</button>`}</div>`}`;
}

function limitsText(item: Extract<CheckItem, { kind: 'measured' }>): string {
  const { low, high, unit } = item;
  if (low !== null && high !== null) return t('item.between', { low, high, unit });
  if (low !== null) return t('item.atLeast', { low, unit });
  return high !== null ? t('item.atMost', { high, unit }) : t('item.noLimits');
}

/** Where it showed, what it was, what it looks like. */
function moreOf(item: CheckItem, result: ItemResult | undefined, box: PhotoBox, steps: ItemSteps): TemplateResult {
  const say = (more: Partial<ItemResult>): void => steps.answer(item, answered(item, result, more));
  const spots = result?.spots ?? [];
  return html`<div class="views">${DRAWINGS.map((drawing) => html`<div><small>${t('item.point', { drawing: t(`drawing.${drawing}`) })}</small><sh-unit-drawing pointing .drawing=${drawing} .name=${`${t(`drawing.${drawing}`)}: ${item.text}`}
      .marks=${spots.map((spot, i) => ({ spot, label: String(i + 1), grave: item.severity === 'safety' }))} @spot=${(event: CustomEvent<Spot>) => say({ spots: [...spots, event.detail].slice(-9) })}></sh-unit-drawing></div>`)}</div>
    ${spots.length === 0 ? nothing : html`<button @click=${() => say({ spots: [] })}>${t('item.noSpots')}</button>`}
    <label>${t('item.note')} <input maxlength="300" autocomplete="off" .value=${result?.note ?? ''} @change=${(event: Event) => say({ note: (event.target as HTMLInputElement).value.trim() })} /></label>
    ${result?.photo ? html`<sh-photo-view .box=${box} .photo=${result.photo}></sh-photo-view>` : nothing}
    <sh-photo-taker @photo=${(event: CustomEvent<Blob | null>) => steps.photo(item, event.detail)}></sh-photo-taker>`;
}
