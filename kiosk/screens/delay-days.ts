import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ShiftDelaysReply, StationCost } from '../../server/contract/line-delay.ts';
import { isoWeekOf } from '../../server/core/calendar/iso-week.ts';
import { addDays } from '../../server/core/calendar/zone.ts';
import type { DelaySums } from '../../server/core/delay/line-delay-by-shift.ts';
import type { LocalDate } from '../../server/core/units.ts';
import { ReportController } from '../controllers/report.ts';
import { linePath } from '../data/report-paths.ts';
import { reportStyles } from '../styles/report.styles.ts';
import { base } from '../styles/tokens.ts';
import { locale, t } from '../words/catalogue.ts';
import { whoseWords } from './board-delay.ts';
import { fileButtons, whole } from './report-parts.ts';

const MOST_DAYS = 62;

/** Line delay of each shift of a period, its days and its weeks (definitions §5); each shift leads to its summary. Of a longer period the last two months. */
@customElement('sh-delay-days')
export class DelayDays extends LitElement {
  static override styles = [base, reportStyles, css`
    :host { padding: 0; }
    .sum th, .sum td { border-top: 2px solid var(--ink-soft); font-weight: 700; }
    .bar { height: 16px; } .made { background: none; border: 2px solid var(--ink-soft); height: 16px; }
    tbody th { white-space: nowrap; }
    .draw { width: 30%; min-width: 120px; }
    @media (max-width: 800px) { .draw { display: none !important; } }
  `];

  @property() plant = '';
  @property() line = '';
  @property() first: LocalDate = '';
  @property() last: LocalDate = '';
  private readonly report = new ReportController<ShiftDelaysReply>(this, () => this.path());

  @state() private fileProblem = '';

  private get query(): string {
    const from = addDays(this.last, 1 - MOST_DAYS);
    return `from=${from > this.first ? from : this.first}&to=${this.last}`;
  }

  private path(): string | null {
    return this.first === '' || this.line === '' ? null : `${linePath(this.plant, this.line)}/delay/shifts?${this.query}`;
  }

  override render(): TemplateResult | typeof nothing {
    const { told, away, problem } = this.report;
    const heading = html`<h2>${t('dwell.days')}</h2>`;
    if (!told) return html`${heading}<p role="status">${problem || t(away ? 'app.noServer' : 'report.telling')}</p>`;
    if (told.shifts.length === 0) return html`${heading}<p>${t('dwell.none')}</p>`;
    const weeks = [...new Set(told.shifts.map(({ date }) => isoWeekOf(date)))];
    const most = Math.max(1, ...told.shifts.map(({ totalMinutes }) => Math.abs(totalMinutes)));
    return html`${heading}<p class="soft">${t('dwell.daysNote')}</p><div class="table cards" tabindex="0" role="region" aria-label=${t('dwell.days')}><table>
      <thead><tr><th scope="col">${t('dwell.day')}</th><th scope="col">${t('dwell.by.shift')}</th><th scope="col" class="draw"></th><th scope="col" class="number">${t('dwell.sort.lineDelay')}</th>
        <th scope="col" class="number">${t('dwell.lost')}</th><th scope="col" class="number">${t('dwell.inPipe')}</th><th scope="col" class="number">${t('dwell.unitMinutes')}</th><th scope="col">${t('dwell.dearest')}</th></tr></thead>
      ${weeks.map((week) => this.week(week, told, most))}</table></div>
      <p class="filters">${fileButtons(`${linePath(this.plant, this.line)}/delay/shifts`, this.query, (what) => (this.fileProblem = what))}</p>
      ${this.fileProblem ? html`<p class="wrong" role="alert">✖ ${this.fileProblem}</p>` : nothing}`;
  }

  private week(week: string, { shifts, days }: ShiftDelaysReply, most: number): TemplateResult {
    const own = shifts.filter(({ date }) => isoWeekOf(date) === week);
    const all = days.filter(({ date }) => isoWeekOf(date) === week).reduce<DelaySums>((sum, day) => ({
      totalMinutes: sum.totalMinutes + day.totalMinutes, lostMinutes: sum.lostMinutes + day.lostMinutes, inPipeMinutes: sum.inPipeMinutes + day.inPipeMinutes, unitMinutesLate: sum.unitMinutesLate + day.unitMinutesLate,
    }), { totalMinutes: 0, lostMinutes: 0, inPipeMinutes: 0, unitMinutesLate: 0 });
    return html`<tbody><tr class="sum"><th scope="row" colspan="2">${t('dwell.week')} ${week}</th><td class="draw"></td>${figures(all)}<td></td></tr>${own.map((shift) => this.shift(shift, own, days, most))}</tbody>`;
  }

  /** A day of several shifts has its sum beside its first one. */
  private shift(shift: ShiftDelaysReply['shifts'][number], shifts: readonly { date: LocalDate; shift: string }[], days: ShiftDelaysReply['days'], most: number): TemplateResult {
    const ofDay = shifts.filter(({ date }) => date === shift.date);
    const day = new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', weekday: 'short', month: 'short', day: 'numeric' }).format(Date.parse(`${shift.date}T00:00:00Z`));
    const sum = ofDay.length > 1 && ofDay[0] === shift ? days.find(({ date }) => date === shift.date) : undefined;
    const query = new URLSearchParams({ line: this.line, date: shift.date, shift: shift.shift }).toString();
    return html`<tr><th scope="row">${day}${sum ? html`<small>${t('dwell.ofDay', { n: whole(sum.totalMinutes) })}</small>` : nothing}</th>
      <td data-head=${t('dwell.by.shift')}><a href=${`/${encodeURIComponent(this.plant)}/summary?${query}`}>${shift.shift}</a></td>
      <td class="draw"><span class=${shift.totalMinutes < 0 ? 'bar made' : 'bar'} style=${`width: ${(100 * Math.abs(shift.totalMinutes)) / most}%`}></span></td>
      ${figures(shift)}<td data-head=${t('dwell.dearest')}>${dearest(shift.costs)}</td></tr>`;
  }
}

function figures({ totalMinutes, lostMinutes, inPipeMinutes, unitMinutesLate }: DelaySums): TemplateResult {
  return html`<td class="number" data-head=${t('dwell.sort.lineDelay')}>${whole(totalMinutes)}</td><td class="number" data-head=${t('dwell.lost')}>${whole(lostMinutes)}</td>
    <td class="number" data-head=${t('dwell.inPipe')}>${whole(inPipeMinutes)}</td><td class="number" data-head=${t('dwell.unitMinutes')}>${whole(unitMinutesLate)}</td>`;
}

/** What cost the line most in the shift. */
function dearest([first]: readonly StationCost[]): TemplateResult | string {
  if (!first || first.lineMinutes <= 0) return '';
  return html`<span>${first.station ?? ''} ${whoseWords(first)} <span class="soft">${t('minutes.short', { n: whole(first.lineMinutes) })}</span></span>`;
}
