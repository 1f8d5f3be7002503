import { html, type TemplateResult } from 'lit';
import type { DwellReply } from '../../server/contract/dwell.ts';
import { TREND_MEASURES } from '../../server/contract/dwell-query.ts';
import type { TrendMeasure } from '../../server/core/rates/dwell-trend.ts';
import '../elements/control-chart.ts';
import { stateMark } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import { behind, type DwellPlace } from './dwell-place.ts';
import { choice, oneDecimal, whole } from './report-parts.ts';

/** Below so many values the limits are a first guess (NIST/SEMATECH e-Handbook 6.3.2 asks for at least twenty). */
const MANY = 20;

/** The mean of each week with control limits, and the same as a table. */
export function trendPart(place: DwellPlace, choose: (measure: TrendMeasure) => void): TemplateResult {
  const { weeks, chart } = place.told.trend;
  const { measure } = place.query;
  const words = {
    centre: t('dwell.centre'), upper: t('dwell.upper'), lower: t('dwell.lower'), ranges: t('dwell.ranges'), outside: t('dwell.outside'),
    all: weeks.map(({ week, mean }, i) => `${week} ${oneDecimal(mean)} ${verdict(chart, i)}`).join('; '),
  };
  return html`<h2>${t('dwell.trend')}</h2>
    <div class="filters">${choice('dwell.measure', measure, TREND_MEASURES.map((one) => [one, t(`dwell.measure.${one}`)]), (one) => choose(TREND_MEASURES.find((known) => known === one) ?? 'dwell'))}</div>
    ${chart ? html`<p class="soft">${weeks.length < MANY ? t('dwell.trendNote', { n: weeks.length }) : ''}</p>` : html`<p>${t('dwell.trendFew')}</p>`}
    <div class="pair">${chart ? html`<sh-control-chart .chart=${chart} .labels=${weeks.map(({ week }) => week.slice(5))} .words=${words}></sh-control-chart>` : ''}
      <div class="table" tabindex="0" role="region" aria-label=${t('dwell.trend')}><table><thead><tr><th scope="col">${t('dwell.week')}</th><th scope="col" class="number">${t('dwell.mean')}</th>
        <th scope="col" class="number">${t('dwell.ranges')}</th><th scope="col" class="number">${t('dwell.visits')}</th><th scope="col">${t('dwell.verdict')}</th></tr></thead>
      <tbody>${weeks.map(({ week, mean, visits }, i) => {
        const range = chart?.points[i]?.movingRange ?? null;
        return html`<tr class="week"><th scope="row">${week}</th><td class="number">${oneDecimal(mean)}</td><td class="number">${range === null ? '' : oneDecimal(range)}</td>
          <td class="number"><a href=${behind(place, { week })}>${whole(visits)}</a></td><td>${chart ? html`${stateMark(isMarked(chart, i) ? 'stopped' : 'inTime')} ${verdict(chart, i)}` : ''}</td></tr>`;
      })}</tbody></table></div></div>`;
}

type Chart = DwellReply['trend']['chart'];

function isMarked(chart: Chart, i: number): boolean {
  const point = chart?.points[i];
  return point !== undefined && (point.outside || point.rangeOutside || point.runOfNine);
}

function verdict(chart: Chart, i: number): string {
  const point = chart?.points[i];
  if (!point) return '';
  const marks = [point.outside ? t('dwell.outside') : '', point.rangeOutside ? `${t('dwell.ranges')} ${t('dwell.outside')}` : '', point.runOfNine ? t('dwell.run') : ''].filter((mark) => mark !== '');
  return marks.length === 0 ? t('dwell.inside') : marks.join(', ');
}
