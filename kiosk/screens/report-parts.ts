import { html, nothing, type TemplateResult } from 'lit';
import { PERIODS, type PeriodQuery } from '../../server/contract/period-query.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { Instant, LocalDate } from '../../server/core/units.ts';
import { ApiError } from '../data/api.ts';
import { saveReport } from '../data/report-paths.ts';
import { locale, t, type WordKey } from '../words/catalogue.ts';

/** A field to choose one of some values in. */
export function choice(word: WordKey, chosen: string, values: readonly (readonly [string, string])[], choose: (value: string) => void): TemplateResult {
  return html`<label>${t(word)}<select @change=${(event: Event) => {
    if (event.target instanceof HTMLSelectElement) choose(event.target.value);
  }}>${values.map(([value, name]) => html`<option value=${value} ?selected=${value === chosen}>${name}</option>`)}</select></label>`;
}

/** The period of a report; from and to stand where days are chosen. `shown` are the days that the report is of now. */
export function periodFields(query: PeriodQuery, shown: { first: LocalDate; last: LocalDate }, choose: (period: PeriodQuery) => void): TemplateResult {
  const days: PeriodQuery = { period: 'days', from: query.from || shown.first, to: query.to || shown.last };
  const day = (field: 'from' | 'to'): TemplateResult => html`<label>${t(`report.${field}`)}<input type="date" required .value=${days[field]} @change=${(event: Event) => {
    if (event.target instanceof HTMLInputElement && event.target.value !== '') choose({ ...days, [field]: event.target.value });
  }} /></label>`;
  return html`${choice('report.period', query.period, PERIODS.map((period) => [period, t(`report.period.${period}`)]), (value) => {
    const period = PERIODS.find((one) => one === value) ?? 'weeks4';
    choose(period === 'days' ? days : { period, from: '', to: '' });
  })}${query.period === 'days' ? html`${day('from')}${day('to')}` : nothing}`;
}

/** The lines of the plant, where it has more than one. */
export function lineField(view: Snapshot, line: string, choose: (line: string) => void): TemplateResult | typeof nothing {
  return view.plant.lines.length < 2 ? nothing : choice('report.line', line, view.plant.lines.map(({ code, name }) => [code, name]), choose);
}

/** Buttons for the report as a file; `path` is its address without the ending, `query` what stands after the `?`. */
export function fileButtons(path: string, query: string, failed: (what: string) => void): TemplateResult {
  const save = (ending: 'csv' | 'xlsx'): void => {
    const name = `${path.split('/').slice(-3).map(decodeURIComponent).join('-')}.${ending}`;
    saveReport(`${path}.${ending}${query === '' ? '' : `?${query}`}`, name).then(() => failed(''), (error: unknown) => failed(fileFailed(error)));
  };
  return html`<button @click=${() => save('csv')}>${t('report.csv')}</button><button @click=${() => save('xlsx')}>${t('report.xlsx')}</button>`;
}

/** Why a file did not come, in the screen's language where no answer came at all. */
export function fileFailed(error: unknown): string {
  return t('report.failed', { what: error instanceof ApiError && error.status !== 0 ? error.what : t('error.noAnswer') });
}

/** Keeps what is asked for in the address, so that it can be bookmarked. */
export function keepInAddress(query: string, more: Record<string, string>): void {
  const said = new URLSearchParams({ ...Object.fromEntries(new URLSearchParams(query)), ...more }).toString();
  history.replaceState(null, '', said === '' ? location.pathname : `?${said}`);
}

export const whole = (value: number): string => (Math.round(value) || 0).toLocaleString(locale());
export const oneDecimal = (value: number): string => value.toLocaleString(locale(), { minimumFractionDigits: 1, maximumFractionDigits: 1 });
export const percent = (share: number): string => share.toLocaleString(locale(), { style: 'percent', maximumFractionDigits: 1 });

export function wallTime(zone: string, instant: Instant): string {
  return new Date(instant).toLocaleString(locale(), { month: 'short', day: 'numeric', hour: '2-digit', minute: '2-digit', timeZone: zone });
}

export const periodText = ({ first, last }: { first: LocalDate; last: LocalDate }): string => t('report.days', { first, last });
