import { html, type TemplateResult } from 'lit';
import type { Outbox, Refused } from '../data/outbox.ts';
import { t, wordKey } from '../words/catalogue.ts';
import { factWord } from '../words/fact-word.ts';

/** What of this device's the server did not take, and why, until a person has read it. The styles are those of the Station screen. */
export function refusedNotices(outbox: Outbox): TemplateResult[] {
  return outbox.refused().map((refused) => html`<div class="said wrong" role="alert"><span aria-hidden="true">✖</span><span>${refusedText(refused)}</span>
    <button @click=${() => void outbox.dismiss(refused.fact.id)}>${t('station.read')}</button></div>`);
}

/** In the screen's language where it knows the reason, else what the server said. */
export function refusedText({ fact, what, why }: Refused): string {
  const key = wordKey(`refused.${why}`);
  return `${t('station.refused')}: ${factWord(fact)}. ${key ? t(key) : what}${fact.kind === 'overrideGate' ? ` ${t('refused.gateHolds')}` : ''}`;
}
