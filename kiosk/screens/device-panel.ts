import { css, html, LitElement, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { WakeLockController } from '../controllers/wake-lock.ts';
import { clockAhead } from '../data/clock.ts';
import { deviceId } from '../data/device-id.ts';
import { askForRoom, type DiskRoom, isNearlyFull } from '../data/disk-room.ts';
import { chooseHand, chooseSounds, hand, sounds } from '../data/preferences.ts';
import { programKept } from '../data/program.ts';
import { stateMark, type StateName } from '../styles/states.ts';
import { base } from '../styles/tokens.ts';
import { t, type WordKey } from '../words/catalogue.ts';

const MINUTE_MS = 60_000;

/** What this device is set to, and whether it can be relied on without the network. Fires `changed` when a switch was turned. */
@customElement('sh-device-panel')
export class DevicePanel extends LitElement {
  static override styles = [base, css`
    :host { display: grid; gap: 12px; }
    h2 { margin: 8px 0 0; font-size: 1.05em; }
    .grid { display: grid; gap: 12px; grid-template-columns: repeat(auto-fill, minmax(190px, 1fr)); }
    button { min-height: var(--touch); font-weight: 600; }
    button[aria-pressed='true'] { outline: 4px solid var(--focus); }
    ul { list-style: none; margin: 0; padding: 0; display: grid; gap: 10px; }
    li { display: flex; gap: 10px; overflow-wrap: anywhere; }
  `];

  @property({ attribute: false }) awake: WakeLockController['state'] = 'asked';
  @state() private room: DiskRoom | null = null;

  override connectedCallback(): void {
    super.connectedCallback();
    void askForRoom().then((room) => (this.room = room));
  }

  override render(): TemplateResult {
    return html`<h2>${t('device.hand')}</h2>
      <div class="grid">${(['left', 'right'] as const).map((side) => html`<button aria-pressed=${hand() === side} @click=${() => this.turn(() => chooseHand(side))}>${t(`device.${side}`)}</button>`)}</div>
      <h2>${t('device.sound')}</h2>
      <div class="grid">${[true, false].map((on) => html`<button aria-pressed=${sounds() === on} @click=${() => this.turn(() => chooseSounds(on))}>${t(on ? 'device.soundOn' : 'device.soundOff')}</button>`)}</div>
      <h2>${t('device.state')}</h2>
      <ul>${this.lines().map(([name, word, params]) => html`<li>${stateMark(name)}<span>${t(word, params)}</span></li>`)}<li>${deviceId()}</li></ul>`;
  }

  private lines(): [StateName, WordKey, Record<string, string | number>?][] {
    const { room } = this;
    const kept = programKept();
    const ahead = clockAhead();
    return [
      [kept === 'yes' ? 'live' : 'notLive', `device.program.${kept}`],
      [room?.kept ? 'live' : 'notLive', room === null ? 'app.loading' : room.kept ? 'device.diskKept' : 'device.diskNotKept'],
      ...(room && isNearlyFull(room) ? [['notLive', 'device.diskNearlyFull', { n: Math.round((room.left ?? 0) / 1_048_576) }] as [StateName, WordKey, Record<string, number>]] : []),
      [ahead === 0 ? 'live' : 'notLive', ahead === null ? 'device.clockUnknown' : ahead === 0 ? 'device.clockRight' : 'device.clockWrong', { n: Math.max(1, Math.round(Math.abs(ahead ?? 0) / MINUTE_MS)) }],
      [this.awake === 'kept' ? 'live' : 'notLive', `device.awake.${this.awake}`],
    ];
  }

  private turn(choose: () => void): void {
    choose();
    this.requestUpdate();
    this.dispatchEvent(new Event('changed'));
  }
}
