import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { DeviceListed, PairingCodeReply } from '../../server/contract/access.ts';
import { localOf } from '../../server/core/calendar/zone.ts';
import { ApiError, askJson } from '../data/api.ts';
import { makePairAgainCode, makePairingCode, revokeDevice } from '../data/me.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { accessStyles } from '../styles/access.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

const AGAIN_MS = 5_000;

/** The kiosks of a plant: a code that pairs another, and revoking. */
@customElement('sh-devices-screen')
export class DevicesScreen extends LitElement {
  static override styles = [base, accessStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @state() private devices: DeviceListed[] | null = null;
  /** The code that is shown, and the kiosk that it pairs again; '' for one of its own. */
  @state() private code: (PairingCodeReply & { again: string }) | null = null;
  @state() private wrong = '';
  /** The device that is asked about before it is revoked. */
  @state() private asked: string | null = null;
  private timer: ReturnType<typeof setInterval> | undefined;
  private unsubscribe: (() => void) | null = null;

  override connectedCallback(): void {
    super.connectedCallback();
    this.unsubscribe = this.store?.subscribe(() => this.requestUpdate()) ?? null;
    void this.run(() => this.load());
    // Somebody stands at a kiosk with the code: it shows here as soon as it is paired.
    this.timer = setInterval(() => void (this.code && this.run(() => this.load())), AGAIN_MS);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    clearInterval(this.timer);
    this.unsubscribe?.();
  }

  private get plant(): string {
    return this.store?.plant ?? '';
  }

  private async load(): Promise<void> {
    this.devices = await askJson<DeviceListed[]>(`/api/plants/${encodeURIComponent(this.plant)}/devices`);
  }

  override render(): TemplateResult {
    const view = this.store?.view;
    const stations = view ? [...view.plant.lines.flatMap((line) => line.stations), ...view.plant.places] : [];
    return html`<h1>${t('nav.devices')}</h1>
      ${this.wrong ? html`<p class="said wrong" role="alert">✖ ${this.wrong}</p>` : nothing}
      ${this.code ? html`<section role="status"><p class="code">${this.code.code.slice(0, 4)} ${this.code.code.slice(4)}</p><p>${t(this.code.again === '' ? 'devices.code' : 'devices.codeAgain', { time: this.at(this.code.until), name: this.code.again })}</p></section>` : nothing}
      <section><h2>${t('devices.pair')}</h2><form @submit=${(event: SubmitEvent) => this.make(event)}>
        <label>${t('devices.name')} <input name="name" required maxlength="100" autocomplete="off" /></label>
        <fieldset tabindex="0"><legend>${t('devices.stations')}</legend>
          ${stations.map(({ code, name }) => html`<label><input type="checkbox" name="station" value=${code} /> ${code} ${name}</label>`)}</fieldset>
        <button class="main">${t('devices.makeCode')}</button></form></section>
      <section>${this.devices?.length === 0 ? html`<p>${t('devices.none')}</p>` : html`<ul>${this.devices?.map((device) => this.line(device))}</ul>`}</section>`;
  }

  private line(device: DeviceListed): TemplateResult {
    const paired = device.pairedBy === null ? t('devices.paired', { time: this.at(device.pairedAt) }) : t('devices.pairedBy', { time: this.at(device.pairedAt), who: device.pairedBy });
    return html`<li><span>${device.name}</span><span>${device.stations === null ? t('devices.all') : device.stations.join(', ')}</span><span class="soft">${paired}</span>
      <span class="end">${this.isLast(device) ? html`<button aria-label="${t('devices.again')}: ${device.name}" @click=${() => void this.pairAgain(device)}>${t('devices.again')}</button> ` : nothing}${device.revokedAt !== null ? html`■ ${t('devices.revoked', { time: this.at(device.revokedAt) })}`
      : this.asked === device.id ? html`<button class="main" @click=${() => void this.revoke(device)}>${t('devices.sure', { name: device.name })}</button>`
      : html`<button aria-label="${t('devices.revoke')}: ${device.name}" @click=${() => (this.asked = device.id)}>${t('devices.revoke')}</button>`}</span></li>`;
  }

  /** A kiosk that was paired more than once has a line for each time: the last says what it is. */
  private isLast(device: DeviceListed): boolean {
    return this.devices?.find(({ code }) => code === device.code) === device;
  }

  private pairAgain(device: DeviceListed): Promise<void> {
    return this.run(async () => void (this.code = { ...(await makePairAgainCode(this.plant, device.id)), again: device.name }));
  }

  private at(instant: number): string {
    const { date, time } = localOf(this.store?.view?.plant.timeZone ?? 'UTC', instant);
    return `${date} ${time}`;
  }

  private make(event: SubmitEvent): void {
    event.preventDefault();
    const form = new FormData(event.target as HTMLFormElement);
    const stations = form.getAll('station').map(String);
    void this.run(async () => void (this.code = { ...(await makePairingCode(this.plant, String(form.get('name')).trim(), stations.length > 0 ? stations : null)), again: '' }));
  }

  private revoke(device: DeviceListed): Promise<void> {
    this.asked = null;
    return this.run(async () => {
      await revokeDevice(this.plant, device.id);
      await this.load();
    });
  }

  private async run(act: () => Promise<void>): Promise<void> {
    this.wrong = '';
    try {
      await act();
    } catch (error) {
      this.wrong = error instanceof ApiError && error.status > 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer');
    }
  }
}
