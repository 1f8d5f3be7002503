import { html, nothing, type TemplateResult } from 'lit';
import type { ConstraintStep } from '../../server/core/rates/dwell-report.ts';
import type { VisitsQuery } from '../../server/contract/dwell-query.ts';
import '../elements/constraint-path.ts';
import { locale, t } from '../words/catalogue.ts';
import { behind, type DwellPlace } from './dwell-place.ts';
import { whole } from './report-parts.ts';

/** Where the constraint stood, period by period, on the line's path; and what each station lost without a unit and blocked. */
export function constraintPart(place: DwellPlace): TemplateResult | typeof nothing {
  const { constraint, constraintSteps: steps } = place.told;
  if (!constraint || constraint.loads.length === 0) return nothing;
  const rows = steps.map((step) => ({ label: labelOf(step), station: step.station, turningPoint: step.turningPoint }));
  return html`<h2>${t('dwell.constraint')}</h2><p class="soft">${t('dwell.constraintNote')}</p>
    <div class="table" tabindex="0" role="region" aria-label=${t('dwell.constraint')}>
      <sh-constraint-path .stations=${constraint.loads.map(({ station }) => station)} .rows=${rows} .words=${rows.map(({ label, station }) => `${label}: ${station ?? '–'}`).join('; ')}></sh-constraint-path></div>
    <div class="pair"><div class="table" tabindex="0" role="region" aria-label=${t('dwell.place')}><table><thead><tr><th scope="col">${t('dwell.by.station')}</th><th scope="col" class="number">${t('state.starved')}</th>
        <th scope="col" class="number">${t('state.idle')}</th><th scope="col" class="number">${t('state.blocked')}</th></tr></thead>
      <tbody>${constraint.loads.map(({ station, starved, idle, blocked }) => {
        const link = (of: VisitsQuery['of'], minutes: number): TemplateResult => html`<a href=${behind(place, { station, model: '', shift: '', of })}>${whole(minutes)}</a>`;
        return html`<tr><th scope="row">${station}${station === constraint.station ? html` ◆ <small>${t('dwell.constraintNow', { station: '' })}</small>` : nothing}</th><td class="number">${link('counted', starved)}</td>
          <td class="number">${link('counted', idle)}</td><td class="number">${link('blocked', blocked)}</td></tr>`;
      })}</tbody></table></div>
    <div class="table" tabindex="0" role="region" aria-label=${t('dwell.constraint')}><table><tbody>${steps.map((step) => html`<tr class="step"><th scope="row">${labelOf(step)}</th>
      <td>${step.station === null ? '–' : html`<a href=${behind(place, { station: step.station, model: '', shift: '', ...(step.date === null ? { week: step.week } : {}) })}>◆ ${step.station}</a>
        <small>${t(step.turningPoint ? 'dwell.turning' : 'dwell.notTurning')}</small>`}</td></tr>`)}</tbody></table></div></div>`;
}

function labelOf({ week, date }: ConstraintStep): string {
  return date === null ? week : new Date(`${date}T00:00:00Z`).toLocaleDateString(locale(), { weekday: 'short', month: 'short', day: 'numeric', timeZone: 'UTC' });
}
