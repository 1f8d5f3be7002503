import { LitElement, css, html, nothing, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { behind, type DeviceRow } from '../../server/contract/devices.ts';
import type { Instant } from '../../server/core/units.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { PlantController } from '../controllers/plant.ts';
import type { PlantStore } from '../data/plant-store.ts';
import type { ScreenParams } from '../data/route.ts';
import { stateTag } from '../styles/states.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

const MINUTE_MS = 60_000;

/** The kiosks of the plant for a supervisor: which hold facts back, since when, and whose clock is wrong. */
@customElement('sh-kiosks-screen')
export class KiosksScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; }
    h1 { margin: 0 0 6px; font-size: 1.4em; }
    .table { overflow-x: auto; }
    table { border-collapse: collapse; width: 100%; }
    th, td { text-align: start; padding: 10px 16px 10px 0; border-bottom: 1px solid var(--rule); vertical-align: top; }
    .behind { font-weight: 700; }
    .soft { color: var(--ink-soft); font-size: 0.85em; overflow-wrap: anywhere; font-weight: 400; }
    @media (max-width: 600px) {
      thead { display: none; } tr { display: grid; padding: 8px 0; border-bottom: 1px solid var(--rule); }
      th, td { border: 0; padding: 2px 0; } td::before { content: attr(data-name) ': '; color: var(--ink-soft); }
    }
    @media (min-width: 1800px) { :host { font-size: 26px; } }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  private readonly plant = new PlantController(this, () => this.store);

  override render(): TemplateResult {
    const { store } = this;
    if (!store?.view) return html`<p role="status">${t(store && !store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const late = behind(store.devices);
    const rows = [...late, ...store.devices.filter((row) => !late.includes(row) && row.station !== '')];
    const heads = ['station', 'state', 'unsent', 'oldest', 'heard', 'clock', 'device'] as const;
    return html`<h1>${t('kiosks.title')}</h1><p>${t('kiosks.explain')}</p>
      ${rows.length === 0 ? html`<p>${t('kiosks.none')}</p>` : html`<div class="table" tabindex="0" role="region" aria-label=${t('kiosks.title')}><table>
        <thead><tr>${heads.map((head) => html`<th scope="col">${t(`kiosks.${head}`)}</th>`)}</tr></thead>
        <tbody>${rows.map((row) => this.row(row, late.includes(row)))}</tbody></table></div>`}`;
  }

  private row(row: DeviceRow, late: boolean): TemplateResult {
    const time = (instant: Instant): string => this.time(instant);
    return html`<tr class=${late ? 'behind' : nothing}>
      <th scope="row">${row.station || t('kiosks.noStation')}</th>
      <td data-name=${t('kiosks.state')}>${stateTag(row.unsent > 0 ? 'unsent' : row.connected ? 'live' : 'notLive')}</td>
      <td data-name=${t('kiosks.unsent')} class="figures">${row.unsent}</td>
      <td data-name=${t('kiosks.oldest')} class="figures">${row.oldest === null ? '–' : time(row.oldest)}</td>
      <td data-name=${t('kiosks.heard')} class="figures">${row.connected ? t('state.live') : time(row.heard)}</td>
      <td data-name=${t('kiosks.clock')}>${clockWords(row.clockAhead)}</td>
      <td data-name=${t('kiosks.device')} class="soft">${row.device}</td></tr>`;
  }

  private time(instant: Instant): string {
    const zone = this.store!.view!.plant.timeZone;
    const [then, today] = [localOf(zone, instant), localOf(zone, this.store!.now())];
    return then.date === today.date ? then.time : `${then.date} ${then.time}`;
  }
}

function clockWords(ahead: number | null): string {
  if (ahead === null) return t('kiosks.clockUnknown');
  const n = Math.max(1, Math.round(Math.abs(ahead) / MINUTE_MS));
  return ahead === 0 ? t('kiosks.clockRight') : t(ahead > 0 ? 'kiosks.clockSlow' : 'kiosks.clockFast', { n });
}
