import { html, nothing, type TemplateResult } from 'lit';
import type { Outbox, Unchecked } from '../data/outbox.ts';
import { stateTag } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';

/** Overrides of `unit`'s gates that this device took and the server has not judged yet: each with its mark, until it has. */
export function uncheckedOverrides(outbox: Outbox, unit: string): TemplateResult | typeof nothing {
  const own = outbox.unchecked().filter(({ fact }) => fact.unit === unit);
  return own.length === 0 ? nothing : html`${own.map((one) => uncheckedOverride(outbox, one))}`;
}

export function uncheckedOverride(outbox: Outbox, { fact: { id, who, reason }, wantsPin }: Unchecked): TemplateResult {
  const submit = (event: SubmitEvent): void => {
    event.preventDefault();
    outbox.givePin(id, String(new FormData(event.target as HTMLFormElement).get('pin')));
  };
  return html`<div class="row" data-unchecked=${id}>${stateTag('unchecked')} <span>${t('breach.unchecked', { who, reason })}</span>
    ${wantsPin ? html`<form class="settle" @submit=${submit}>${pinField(t('breach.pinAgain', { who }))}<button>${t('breach.checkPin')}</button></form>` : nothing}</div>`;
}

export function pinField(label: string): TemplateResult {
  return html`<label>${label}<input name="pin" type="password" inputmode="numeric" required maxlength="8" autocomplete="off" /></label>`;
}
