import { html, nothing, type TemplateResult } from 'lit';
import type { CheckStanding } from '../../server/core/gates/check.ts';
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
