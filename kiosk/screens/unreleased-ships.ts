import { html, nothing, type TemplateResult } from 'lit';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { UnreleasedShip } from '../../server/core/gates/unreleased-ship.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { unitPath } from '../data/route.ts';
import { t } from '../words/catalogue.ts';
import { type Override, overrideForm } from './breach-list.ts';
import { uncheckedOverride } from './unchecked-overrides.ts';

/**
 * Units that are gone without a release, each until one who may lets it stand with a reason. They stand above everything else of the screen; one
 * that was overridden here keeps its place with a mark until the server has judged that.
 */
export function unreleasedShips({ view, outbox }: PlantStore, override: Override): TemplateResult | typeof nothing {
  const ships = view?.unreleasedShips ?? [];
  const unchecked = outbox.unchecked().filter(({ fact }) => view?.units.every(({ state }) => state.unit !== fact.unit));
  if (!view || ships.length + unchecked.length === 0) return nothing;
  return html`<section style="grid-column: 1 / -1" aria-labelledby="unreleased-title"><h2 id="unreleased-title">${t('release.gone', { n: ships.length + unchecked.length })}</h2>
    <ul class="list">${unchecked.map((one) => html`<li><b>${one.fact.unit}</b> ${uncheckedOverride(outbox, one)}</li>`)}${ships.map((ship) => oneShip(view, ship, override))}</ul></section>`;
}

function oneShip({ plant }: Snapshot, { unit, dealer, carrier, at, who, breach }: UnreleasedShip, override: Override): TemplateResult {
  const { date, time } = localOf(plant.timeZone, at);
  return html`<li class="grave"><div><span class="tag red">⬣ ${t('release.goneTag')}</span> <a class="way" href=${unitPath(plant.code, unit)}><b>${unit}</b></a> ${dealer} ${carrier} <span class="soft">${who} ${date} ${time}</span></div>
    ${overrideForm({ unit, breach }, { reason: t('release.overrideWhy'), of: unit }, override)}</li>`;
}
