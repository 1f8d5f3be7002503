import { html, nothing, type TemplateResult } from 'lit';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { unitPath } from '../data/route.ts';
import { t } from '../words/catalogue.ts';
import { type Override, overrideForm } from './breach-list.ts';
import { uncheckedOverride } from './unchecked-overrides.ts';

/** Units that are gone without a release, each until one who may lets it stand with a reason. They stand above everything else of the screen. */
export function unreleasedShips({ view, outbox }: PlantStore, override: Override): TemplateResult | typeof nothing {
  if (!view || view.unreleasedShips.length === 0) return nothing;
  const { plant, unreleasedShips: ships } = view;
  const unchecked = new Map(outbox.unchecked().map((one) => [one.fact.breach, one]));
  return html`<section style="grid-column: 1 / -1" aria-labelledby="unreleased-title"><h2 id="unreleased-title">${t('release.gone', { n: ships.length })}</h2><ul class="list">${ships.map(({ unit, dealer, carrier, at, who, breach }) => {
    const { date, time } = localOf(plant.timeZone, at);
    const own = unchecked.get(breach);
    return html`<li class="grave"><div><span class="tag red">⬣ ${t('release.goneTag')}</span> <a class="way" href=${unitPath(plant.code, unit)}><b>${unit}</b></a> ${dealer} ${carrier} <span class="soft">${who} ${date} ${time}</span></div>
      ${own ? uncheckedOverride(outbox, own) : overrideForm({ unit, breach }, { reason: t('release.overrideWhy'), of: unit }, override)}</li>`;
  })}</ul></section>`;
}
