import { html, type TemplateResult } from 'lit';
import type { DwellReply } from '../../server/contract/dwell.ts';
import { writeDwellQuery } from '../../server/contract/dwell-query.ts';
import { linePath } from '../data/report-paths.ts';
import { stateMark, type StateName } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';
import '../elements/pareto-bar.ts';
import { behind, type DwellPlace } from './dwell-place.ts';
import { fileButtons, percent, whole } from './report-parts.ts';

type Cause = DwellReply['causes'][number];
const STATE_OF: Record<Cause['kind'], StateName> = { hold: 'held', stop: 'stopped', overStandard: 'overStandard', rollLag: 'rollLag' };

/** The causes of station delay, largest first, as a Pareto chart that is a table: bar, share, and the share of all so far. */
export function causesPart(place: DwellPlace, failed: (what: string) => void): TemplateResult {
  const { causes } = place.told;
  if (causes.length === 0) return html`<h2>${t('dwell.causes')}</h2><p>${t('dwell.noCauses')}</p>`;
  const most = causes[0]!.amount;
  return html`<h2>${t('dwell.causes')}</h2>
    <div class="table cards causes" tabindex="0" role="region" aria-label=${t('dwell.causes')}><table>
      <thead><tr><th scope="col">${t('dwell.cause')}</th><th scope="col" class="strip"><small>${t('dwell.minutes')} ▬, ${t('dwell.cumulative')} ◆</small></th><th scope="col" class="number">${t('dwell.minutes')}</th>
        <th scope="col" class="number">${t('dwell.share')}</th><th scope="col" class="number">${t('dwell.cumulative')}</th><th scope="col" class="number">${t('dwell.visits')}</th></tr></thead>
      <tbody>${causes.map((cause, i) => causeRow(place, cause, most, causes[i - 1]?.cumulative ?? null))}</tbody></table></div>
    <p class="filters">${fileButtons(`${linePath(place.plant, place.line)}/dwell/causes`, writeDwellQuery(place.query), failed)}</p>`;
}

function causeRow(place: DwellPlace, cause: Cause, most: number, before: number | null): TemplateResult {
  const { kind, reason, amount, share, cumulative, vital, visits } = cause;
  const href = behind(place, { of: 'cause', kind, reason });
  const words = reason === '' ? t(`cause.${kind}`) : `${t(`cause.${kind}`)}: ${reasonText(reason)}`;
  return html`<tr class="cause"><th scope="row">${stateMark(STATE_OF[kind])} ${words} ${vital ? html`<small>${t('dwell.vital')}</small>` : ''}</th>
    <td class="strip"><sh-pareto-bar .share=${amount / most} .above=${before} .cumulative=${cumulative} .vital=${vital}></sh-pareto-bar></td>
    <td class="number" data-head=${t('dwell.minutes')}><a href=${href}>${whole(amount)}</a></td><td class="number" data-head=${t('dwell.share')}>${percent(share)}</td>
    <td class="number" data-head=${t('dwell.cumulative')}>${percent(cumulative)}</td><td class="number" data-head=${t('dwell.visits')}><a href=${href}>${whole(visits)}</a></td></tr>`;
}
