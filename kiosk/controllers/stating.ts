import { html, nothing, type ReactiveController, type ReactiveControllerHost, type TemplateResult } from 'lit';
import type { Fact, FactKind } from '../../server/core/facts/fact.ts';
import type { Own } from '../data/outbox.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { wearBadge, who } from '../data/preferences.ts';
import { refusedNotices } from '../screens/refused-notices.ts';
import { t } from '../words/catalogue.ts';
import { factWord } from '../words/fact-word.ts';

/** Said to the person at the screen: heard, went wrong, or something they have to do. */
export interface Said {
  kind: 'good' | 'wrong' | 'act';
  words: string;
}

const MARK = { good: '✔', wrong: '✖', act: '◆' };

/** States facts for the badge that this device wears, and tells what became of them. The styles are those of the Station screen. */
export class StatingController implements ReactiveController {
  said: Said | null = null;

  constructor(private readonly host: ReactiveControllerHost, private readonly store: () => PlantStore | null) {
    host.addController(this);
  }

  hostConnected(): void {
    this.said = null;
  }

  say(said: Said | null): void {
    this.said = said;
    this.host.requestUpdate();
  }

  /** Whether somebody wears a badge; says so when nobody does. */
  worn(): boolean {
    if (who() !== '') return true;
    this.say({ kind: 'act', words: t('station.badgeNeeded') });
    return false;
  }

  /** Whether `code` is somebody's badge: one scan, and what follows is stated by that person. */
  wears(code: string): boolean {
    const name = this.store()?.badges.nameOf(code) ?? null;
    if (name === null) return false;
    wearBadge(code);
    this.say({ kind: 'good', words: t('access.wears', { code, name }) });
    return true;
  }

  /** The fact once it is on this device's disk; null when there is no badge or the disk does not take it. */
  async state<K extends FactKind>(kind: K, own: Own<K>, words: (fact: Fact) => string = factWord, pin: string | null = null): Promise<Fact | null> {
    const store = this.store();
    if (!store || !this.worn()) return null;
    try {
      const fact = await store.outbox.state(kind, own, null, pin);
      this.say({ kind: 'good', words: `${t('station.heard')}: ${words(fact)}` });
      return fact;
    } catch {
      this.say({ kind: 'wrong', words: t('station.diskTrouble') });
      return null;
    }
  }

  badge(): TemplateResult {
    const change = (event: Event): void => {
      wearBadge((event.target as HTMLInputElement).value);
      this.say(null);
    };
    return html`<label>${t('station.badge')} <input class="badge" .value=${who()} maxlength="60" autocomplete="off" @change=${change} /></label>`;
  }

  notices(): TemplateResult | typeof nothing {
    const outbox = this.store()?.outbox;
    if (!outbox) return nothing;
    const unsent = outbox.unsent().n;
    return html`${this.said ? html`<div class="said ${this.said.kind}" role="status"><span aria-hidden="true">${MARK[this.said.kind]}</span><span>${this.said.words}</span></div>` : nothing}
      ${refusedNotices(outbox)}
      ${unsent > 0 ? html`<div class="said note" role="status"><span aria-hidden="true">■</span><span>${t('station.unsent', { n: unsent })}</span></div>` : nothing}`;
  }
}
