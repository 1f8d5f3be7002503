import { html, type TemplateResult } from 'lit';
import type { Instant } from '../../server/core/units.ts';
import { t } from '../words/catalogue.ts';

type Where = { line: string; station: null } | { line: null; station: string };

export interface Hours {
  /** The wall clock when the panel was opened, HH:MM. */
  now: string;
  line: string;
  station: string;
  openUntil(own: Where & { until: Instant }): void;
  goneHome(own: Where): void;
  /** The next instant at which the clock shows the time. */
  instantOf(time: string): Instant;
}

/** What the floor says of its time on the day (definitions §1): the line or the station is open until a time, or has gone home. */
export function hoursPanel({ now, line, station, openUntil, goneHome, instantOf }: Hours): TemplateResult {
  const whole: Where = { line, station: null };
  const here: Where = { line: null, station };
  const submit = (event: SubmitEvent): void => {
    event.preventDefault();
    const form = new FormData(event.target as HTMLFormElement);
    openUntil({ ...(form.get('where') === 'station' ? here : whole), until: instantOf(String(form.get('until'))) });
  };
  return html`<form class="form" @submit=${submit}>
    <label>${t('hours.until')}<input name="until" type="time" required .value=${now} /></label>
    <label>${t('hours.where')}<select name="where"><option value="line">${t('hours.line', { line })}</option><option value="station">${t('hours.station', { station })}</option></select></label>
    <button class="main">${t('hours.open')}</button></form>
    <div class="grid"><button @click=${() => goneHome(whole)}>${t('hours.goneHome', { where: t('hours.line', { line }) })}</button>
      <button @click=${() => goneHome(here)}>${t('hours.goneHome', { where: t('hours.station', { station }) })}</button></div>`;
}
