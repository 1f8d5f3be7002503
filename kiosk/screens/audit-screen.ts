import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { AuditListed } from '../../server/contract/access.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { askJson } from '../data/api.ts';
import type { ScreenParams } from '../data/route.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { accessStyles } from '../styles/access.styles.ts';
import { base } from '../styles/tokens.ts';
import { t, wordKey } from '../words/catalogue.ts';

/** What happened to people, devices and set-up, newest first. */
@customElement('sh-audit-screen')
export class AuditScreen extends LitElement {
  static override styles = [base, accessStyles];

  @property({ attribute: false }) params: ScreenParams | null = null;
  @property({ attribute: false }) store: PlantStore | null = null;
  @state() private entries: AuditListed[] | null = null;
  @state() private more = true;
  @state() private wrong = false;

  override connectedCallback(): void {
    super.connectedCallback();
    void this.load();
  }

  private async load(): Promise<void> {
    const last = this.entries?.at(-1)?.id;
    try {
      const page = await askJson<AuditListed[]>(`/api/plants/${encodeURIComponent(this.params?.plant ?? '')}/audit${last === undefined ? '' : `?before=${last}`}`);
      this.entries = [...(this.entries ?? []), ...page];
      this.more = page.length > 0;
      this.wrong = false;
    } catch {
      this.wrong = true;
    }
  }

  override render(): TemplateResult {
    return html`<h1>${t('nav.audit')}</h1>${this.wrong ? html`<p class="said wrong" role="alert">✖ ${t('error.noAnswer')}</p>` : nothing}
      ${this.entries?.length === 0 ? html`<p>${t('audit.none')}</p>` : html`<section class="table" tabindex="0" aria-label=${t('nav.audit')}><table>
        <thead><tr><th scope="col">${t('audit.at')}</th><th scope="col">${t('audit.what')}</th><th scope="col">${t('audit.who')}</th><th scope="col">${t('audit.device')}</th><th scope="col">${t('audit.detail')}</th></tr></thead>
        <tbody>${this.entries?.map((entry) => this.line(entry))}</tbody></table></section>
      ${this.more ? html`<p><button @click=${() => void this.load()}>${t('audit.more')}</button></p>` : nothing}`}`;
  }

  private line({ at, what, who, device, source, detail }: AuditListed): TemplateResult {
    const { date, time } = localOf(this.store?.view?.plant.timeZone ?? 'UTC', at);
    const word = wordKey(`audited.${what}`);
    const said = Object.entries(detail).filter(([, value]) => value !== null && value !== '').map(([name, value]) => `${name}: ${Array.isArray(value) ? value.join(', ') : String(value)}`);
    return html`<tr><td class="figures">${date} ${time}</td><td>${word ? t(word) : what}</td><td>${who || '–'}</td><td>${device} <span class="soft">${source}</span></td><td>${said.join('; ')}</td></tr>`;
  }
}
