import { html, nothing, type TemplateResult } from 'lit';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { BreachState } from '../../server/core/facts/quality-state.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import type { UnitState } from '../../server/core/facts/unit-state.ts';
import { t } from '../words/catalogue.ts';

export interface UnitBreach {
  state: UnitState;
  breach: BreachState;
}

/** Gates that were passed and nobody has settled, the latest first; of one unit when `unit` is given. */
export function openBreaches({ units }: Snapshot, unit: string | null = null): UnitBreach[] {
  return units.filter(({ state }) => unit === null || state.unit === unit)
    .flatMap(({ state }) => state.breaches.filter(({ settled }) => settled === null).map((breach) => ({ state, breach })))
    .toSorted((a, b) => b.breach.at - a.breach.at);
}

/** What was passed, in words: over which zone, or without which check. */
export function breachWords(plant: Plant, { gate, detail, station }: BreachState): string {
  const zone = plant.zones?.find(({ code }) => code === detail)?.name ?? detail;
  const check = plant.checks?.find(({ code }) => code === detail)?.name ?? detail;
  return t(`breach.${gate}`, { zone, check, station: station ?? '' });
}

/** Passed gates, each with the reason by which one who may lets it stand. */
export function breachList(view: Snapshot, breaches: readonly UnitBreach[], override: (unit: string, breach: string, reason: string) => void): TemplateResult | typeof nothing {
  if (breaches.length === 0) return nothing;
  return html`<h2>${t('breach.title')}</h2><ul class="list">${breaches.map(({ state: { unit }, breach }) => {
    const { date, time } = localOf(view.plant.timeZone, breach.at);
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      override(unit, breach.id, String(new FormData(event.target as HTMLFormElement).get('reason')).trim());
    };
    return html`<li class="grave"><div><span class="tag red">⬣ ${t('breach.passed')}</span> <b>${unit}</b> ${breachWords(view.plant, breach)} <span class="soft">${breach.who} ${date} ${time}</span></div>
      <form class="choices" @submit=${submit}><label>${t('breach.reason')}<input name="reason" required maxlength="300" autocomplete="off" aria-label="${t('breach.reason')} ${unit} ${breach.detail}" /></label><button>${t('breach.override')}</button></form></li>`;
  })}</ul>`;
}
