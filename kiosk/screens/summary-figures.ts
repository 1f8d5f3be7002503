import { html, nothing, type TemplateResult } from 'lit';
import type { ToldShift } from '../../server/contract/shift-summary.ts';
import type { ShiftCount } from '../../server/core/rates/shift-counts.ts';
import { english, t, wordKey } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';
import { list } from './summary-lists.ts';
import { stationText, type SummaryText } from './summary-text.ts';

/** Units counted against plan, a sentence for the shift and one for the month at each count point. */
export function countsSection({ counts, current }: ToldShift, manyShifts: boolean, text: SummaryText): TemplateResult {
  return html`<section aria-labelledby="counts"><h2 id="counts">${t('summary.counts')}</h2><ul>${counts.map((count) => html`<li>
    <b>${pointName(count)}</b> ${shiftSentence(count, current, text)}
    ${manyShifts ? t('summary.countedDay', { counted: text.units(count.day.counted), planned: text.units(count.day.plannedByNow) }) : nothing}
    ${count.shift.assumed > 0 ? html`<span class="soft">${t('summary.assumed', { n: count.shift.assumed })}</span>` : nothing}
    <span class="under">${monthSentence(count, text)}</span></li>`)}</ul></section>`;
}

/** The plant's own name of the point; a point that it did not name is called in the reader's language. */
function pointName({ name, event }: ShiftCount): string {
  return name === english(`count.${event}`) ? t(`count.${event}`) : name;
}

function shiftSentence({ shift }: ShiftCount, current: boolean, text: SummaryText): string {
  return t(current ? 'summary.countedOf' : 'summary.countedWhole', { counted: text.units(shift.counted), planned: text.units(current ? shift.plannedByNow : shift.planned) });
}

/** Month to date against plan, and what each day that is left has to bring. */
function monthSentence({ month }: ShiftCount, text: SummaryText): TemplateResult {
  const ahead = Math.round((month.counted - month.plannedByNow) * 10) / 10;
  const planned = text.units(month.planned);
  const standing = ahead === 0 ? t('summary.onPlan') : t(ahead > 0 ? 'summary.ahead' : 'summary.behind', { n: text.units(Math.abs(ahead)) });
  return html`${t('summary.month', { month: text.month(month.first), counted: text.units(month.counted), planned: text.units(month.plannedByNow) })}
    <b>${standing}</b> ${neededSentence(month, planned, text)}`;
}

function neededSentence({ neededPerDay, remainingDays }: ShiftCount['month'], planned: string, text: SummaryText): string {
  if (neededPerDay === null) return t('summary.noDays', { planned });
  if (neededPerDay === 0) return planned === '0' ? '' : t('summary.reached', { planned });
  return t(remainingDays === 1 ? 'summary.neededOne' : 'summary.needed', { planned, needed: text.units(neededPerDay), days: remainingDays });
}

/** Line delay of the shift in words, and what pushed the line's end in Pareto order. */
export function delaySection({ delay }: ToldShift, text: SummaryText): TemplateResult {
  const { totalMinutes, lostMinutes, unitMinutesLate, pushedMinutes, recoveredMinutes, causes, lastUnit } = delay;
  const words = lastUnit === null ? t('summary.noUnit')
    // What is in the pipe is told as the rest, so that the whole minutes add up.
    : t('summary.delayIs', { total: text.minutes(totalMinutes), lost: text.minutes(lostMinutes), inPipe: text.minutes(Math.round(totalMinutes) - Math.round(lostMinutes)) });
  return html`<section aria-labelledby="delay"><h2 id="delay">${t('summary.delay')}</h2>
    <p><b>${words}</b> ${unitMinutesLate >= 0.5 ? t('summary.unitMinutes', { n: text.minutes(unitMinutesLate) }) : nothing}
      ${causes.length === 0 ? t('summary.noDelay') : t('summary.pushed', { pushed: text.minutes(pushedMinutes), recovered: text.minutes(-recoveredMinutes) })}</p>
    ${causes.length === 0 ? nothing : html`<h3 class="split"><span>${t('summary.causes')}</span><span class="soft">${t('summary.upTo')}</span></h3>${list(causes, 8, ({ kind, reason, station, units, times, amount, share, cumulative }) => html`<li class="cause">
      <span class="figure">${t('minutes.short', { n: amount < 0.95 ? text.units(amount) : text.minutes(amount) })}</span>
      <span><b>${t(wordKey(`cause.${kind}`) ?? 'state.none')}${reason === '' ? '' : `: ${reasonText(reason)}`}</b> ${stationText(station)}
        <span class="soft">${units.slice(0, UNITS).join(', ')}${units.length > UNITS ? ' …' : ''} ${times > 1 ? t('summary.times', { n: times }) : ''}</span>
        <span class="share" style="inline-size: ${(share * 100).toFixed(1)}%"></span></span>
      <span class="figure soft">${text.share(cumulative)}</span></li>`)}`}</section>`;
}

/** Serials named at a cause: more would fill the page with one line. */
const UNITS = 4;
