import { html, nothing, type TemplateResult } from 'lit';
import type { CheckState } from '../../server/core/facts/quality-state.ts';
import { type CheckStanding, judgedOtherwise } from '../../server/core/gates/check.ts';
import type { Check } from '../../server/core/setup/quality.ts';
import { t } from '../words/catalogue.ts';

/** What can hurt someone here, and who may do it: the plant's own words, and always that local codes and licensed practice come first. */
export function caution(words: string): TemplateResult | typeof nothing {
  return words === '' ? nothing : html`<div class="caution" role="note"><span aria-hidden="true">⚠</span><span>${words}<br />${t('quality.defer')}</span></div>`;
}

const LOOK: Record<CheckStanding, [string, string]> = { passed: ['green', '✔'], failed: ['red', '✖'], missing: ['', '□'], dueAgain: ['yellow', '▲'], tooOld: ['yellow', '▲'] };

export function standingTag(standing: CheckStanding): TemplateResult {
  const [colour, mark] = LOOK[standing];
  return html`<span class="tag ${colour}">${mark} ${t(`standing.${standing}`)}</span>`;
}

/** By which limits the last attempt was judged: by those confirmed now, by others, or by a person because nobody had confirmed any. */
export function limitsTag(check: Check, state: CheckState | undefined): TemplateResult | typeof nothing {
  if (!state || state.limits.length === 0) return nothing;
  const other = judgedOtherwise(check, state.limits);
  if (other.length > 0) return html`<span class="tag yellow">▲ ${t('limits.before', { items: other.map(({ text }) => text).join('; ') })}</span>`;
  const editions = [...new Set(state.limits.flatMap(({ edition }) => edition ?? []))];
  return editions.length === 0 ? html`<span class="tag">■ ${t('limits.person')}</span>` : html`<span class="tag green">✔ ${t('limits.edition', { editions: editions.join('; ') })}</span>`;
}
