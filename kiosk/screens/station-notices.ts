import { html, nothing, type TemplateResult } from 'lit';
import { localOf } from '../../server/core/calendar/zone.ts';
import type { Outbox } from '../data/outbox.ts';
import { t } from '../words/catalogue.ts';
import { refusedNotices } from './refused-notices.ts';

/** What the screen answers to the last thing that was scanned or touched. */
export interface Said {
  kind: 'good' | 'wrong' | 'act';
  words: string;
  /** The fact that was heard, to tell when it is in the log. */
  fact: string | null;
  /** A code that was not acted on, for a person to say that it is right. */
  asRead: string | null;
}

const MARKS = { good: '✔', wrong: '✖', act: '◆' };

/** The answer to the last scan, with the mark that is seen from across the station: heard, done or wrong. */
export function saidNotice(said: Said | null, outbox: Outbox, asRead: (code: string) => void): TemplateResult | typeof nothing {
  if (!said) return nothing;
  const stage = said.fact === null ? null : outbox.stage(said.fact);
  // A refused one stands below with why, until a person has read it.
  if (stage === 'refused') return nothing;
  const mark = stage === 'sent' ? '✔✔' : MARKS[said.kind];
  return html`<div class="said answer ${said.kind}" role="status" data-fact=${said.fact ?? nothing} data-stage=${stage ?? nothing}><span class="mark" aria-hidden="true">${mark}</span><span>${said.words}</span>
    ${stage === null ? nothing : html`<span class="stage">${t(stage === 'sent' ? 'station.inLog' : 'station.onDevice')}</span>`}
    ${said.asRead === null ? nothing : html`<button @click=${() => asRead(said.asRead!)}>${t('station.asRead', { code: said.asRead })}</button>`}</div>`;
}

/** What the server refused, and what it does not have yet. */
export function outboxNotices(outbox: Outbox, zone: string, now: number): TemplateResult {
  const { n, oldest } = outbox.unsent();
  const time = (instant: number): string => {
    const [then, today] = [localOf(zone, instant), localOf(zone, now)];
    return then.date === today.date ? then.time : `${then.date} ${then.time}`;
  };
  return html`${refusedNotices(outbox)}
    ${n > 0 && oldest !== null ? html`<div class="said note" role="status"><span aria-hidden="true">■</span><span>${t('station.unsent', { n })} ${t('station.unsentSince', { time: time(oldest) })}</span></div>` : nothing}`;
}
