import { html, type TemplateResult } from 'lit';
import type { readyByDealer } from '../data/release-now.ts';
import { t } from '../words/catalogue.ts';

export interface ShipSteps {
  load(unit: string, on: boolean): void;
  ship(carrier: string): void;
  save(): void;
}

/** Units that are released, by dealer; those touched go on one truck together. */
export function shipList(dealers: ReturnType<typeof readyByDealer>, loaded: ReadonlySet<string>, steps: ShipSteps): TemplateResult {
  const ready = dealers.reduce((sum, { rows }) => sum + rows.length, 0);
  const ship = (event: SubmitEvent): void => {
    event.preventDefault();
    steps.ship(String(new FormData(event.target as HTMLFormElement).get('carrier') ?? '').trim());
  };
  return html`<form class="form" @submit=${ship}><label>${t('release.truck')}<input name="carrier" required maxlength="100" autocomplete="off" /></label>
      <button class="main" ?disabled=${loaded.size === 0}>${loaded.size === 0 ? t('release.choose') : t('release.shipN', { n: loaded.size })}</button></form>
    <h2>${t('release.list', { n: ready })}</h2>${ready === 0 ? html`<p>${t('release.noneReady')}</p>` : html`<ul class="list">${dealers.map(({ dealer, rows }) => html`<li><b>${dealer || '–'}</b> <small>${t('release.units', { n: rows.length })}</small>
      <div class="choices">${rows.map(({ state: unit }) => html`<button aria-pressed=${loaded.has(unit.unit)} @click=${() => steps.load(unit.unit, !loaded.has(unit.unit))}>${loaded.has(unit.unit) ? '✔ ' : ''}${unit.unit}<br /><small>${unit.place?.station ?? ''} ${unit.place?.slot ?? ''} ${unit.promise ?? ''}</small></button>`)}</div></li>`)}</ul>
      <button @click=${() => steps.save()}>${t('release.csv')}</button>`}`;
}
