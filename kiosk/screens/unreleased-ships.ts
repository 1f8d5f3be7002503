import { html, nothing, type TemplateResult } from 'lit';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { unitPath } from '../data/route.ts';
import { t } from '../words/catalogue.ts';

/** Units that are gone without a release, each until one who may lets it stand with a reason. They stand above everything else of the screen. */
export function unreleasedShips({ plant, unreleasedShips: ships }: Snapshot, override: (unit: string, breach: string, reason: string) => void): TemplateResult | typeof nothing {
  if (ships.length === 0) return nothing;
  return html`<section style="grid-column: 1 / -1" aria-labelledby="unreleased-title"><h2 id="unreleased-title">${t('release.gone', { n: ships.length })}</h2><ul class="list">${ships.map(({ unit, dealer, carrier, at, who, breach }) => {
    const { date, time } = localOf(plant.timeZone, at);
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const reason = String(new FormData(event.target as HTMLFormElement).get('reason')).trim();
      if (reason !== '') override(unit, breach, reason);
    };
    return html`<li class="grave"><div><span class="tag red">⬣ ${t('release.goneTag')}</span> <a class="way" href=${unitPath(plant.code, unit)}><b>${unit}</b></a> ${dealer} ${carrier} <span class="soft">${who} ${date} ${time}</span></div>
      <form class="choices" @submit=${submit}><label>${t('release.overrideWhy')}<input name="reason" required maxlength="300" autocomplete="off" aria-label="${t('release.overrideWhy')} ${unit}" /></label><button>${t('breach.override')}</button></form></li>`;
  })}</ul></section>`;
}
