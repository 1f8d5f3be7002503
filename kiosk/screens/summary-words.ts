import { html, nothing, type TemplateResult } from 'lit';
import type { ActionRow, NoteRow, ToldShift } from '../../server/contract/shift-summary.ts';
import { stateTag } from '../styles/states.ts';
import { t } from '../words/catalogue.ts';
import { list } from './summary-lists.ts';
import type { SummaryText } from './summary-text.ts';

/** What a person states on the page; each answers once it is on the device's disk. */
export interface Stating {
  note(text: string, who: string): Promise<void>;
  action(what: string, owner: string, due: string, who: string): Promise<void>;
  close(action: string, note: string, who: string): Promise<void>;
}

interface Own {
  /** Ids that only this device holds yet. */
  unsent: ReadonlySet<string>;
  /** Null on the page of a shift that is past. */
  stating: Stating | null;
  /** The badge this device states facts for. */
  who: string;
}

/** Notes of this shift, then those of the one before. */
export function notesSection({ notes }: ToldShift, text: SummaryText, { unsent, stating, who }: Own): TemplateResult {
  const note = (row: NoteRow): TemplateResult => html`<li>${row.text} <span class="soft">${row.who}, ${text.time(row.happened)}</span>${unsentMark(unsent, row.id)}</li>`;
  const of = (before: boolean, title: string): TemplateResult | typeof nothing => {
    const rows = notes.filter((row) => row.before === before);
    return rows.length === 0 ? nothing : html`<h3>${title}</h3>${list(rows, 4, note)}`;
  };
  return html`<section aria-labelledby="notes"><h2 id="notes">${t('summary.notes')}</h2>
    ${notes.length === 0 ? html`<p>${t('summary.noNotes')}</p>` : html`${of(false, t('summary.thisShift'))}${of(true, t('summary.shiftBefore'))}`}
    ${stating === null ? nothing : html`<details class="screen"><summary>${t('summary.addNote')}</summary>
      <form @submit=${submitted((field) => stating.note(field('text'), field('who')))}>
      <label class="wide">${t('summary.note')}<input name="text" required maxlength="500" autocomplete="off" /></label>
      ${badge(who)}<button class="act">${t('summary.stateNote')}</button></form></details>`}</section>`;
}

/** Actions carried with owner and due time, and those closed in the shift. */
export function actionsSection({ carried, closed }: ToldShift, text: SummaryText, { unsent, stating, who }: Own): TemplateResult {
  return html`<section aria-labelledby="actions"><h2 id="actions">${t('summary.actions')}</h2>
    ${carried.length === 0 ? html`<p>${t('summary.noActions')}</p>` : list(carried, 6, (row) => html`<li class="action"><span>${row.overdue ? stateTag('overdue') : nothing} ${actionText(row, text)}${unsentMark(unsent, row.id)}</span>
      ${stating === null ? nothing : closeForm(row, stating, who)}</li>`)}
    ${stating === null ? nothing : html`<details class="screen"><summary>${t('summary.addAction')}</summary>
      <form @submit=${submitted((field) => stating.action(field('what'), field('owner'), field('due'), field('who')))}>
      <label class="wide">${t('summary.what')}<input name="what" required maxlength="500" autocomplete="off" /></label>
      <label>${t('summary.whose')}<input name="owner" required maxlength="500" autocomplete="off" /></label>
      <label>${t('summary.dueAt')}<input name="due" type="datetime-local" /></label>
      ${badge(who)}<button class="act">${t('summary.stateAction')}</button></form></details>`}
    ${closed.length === 0 ? nothing : html`<h3>${t('summary.closed')}</h3>${list(closed, 4, (row) => html`<li>${row.what}, <b>${row.owner}</b>
      <span class="soft">${t('summary.closedBy', { time: text.time(row.closed?.at ?? 0), who: row.closed?.who ?? '' })}</span> ${row.closed?.note}${unsentMark(unsent, `closed ${row.id}`)}</li>`)}`}</section>`;
}

function actionText({ what, owner, due }: ActionRow, text: SummaryText): TemplateResult {
  return html`${what}, <b>${owner}</b>, ${due === null ? t('summary.noDue') : t('summary.due', { time: text.time(due) })}`;
}

function closeForm(row: ActionRow, stating: Stating, who: string): TemplateResult {
  return html`<details class="screen"><summary aria-label=${`${t('summary.done')}: ${row.what}`}>${t('summary.done')}</summary>
    <form @submit=${submitted((field) => stating.close(row.id, field('note'), field('who')))}>
    <label class="wide">${t('summary.doneNote')}<input name="note" maxlength="500" autocomplete="off" /></label>
    ${badge(who)}<button class="act">${t('summary.close')}</button></form></details>`;
}

function badge(who: string): TemplateResult {
  return html`<label>${t('station.badge')}<input name="who" required maxlength="100" .value=${who} autocomplete="off" /></label>`;
}

function unsentMark(unsent: ReadonlySet<string>, id: string): TemplateResult | typeof nothing {
  return unsent.has(id) ? html` <span class="unsent screen">${t('summary.unsent')}</span>` : nothing;
}

/** States what the form says, then empties and folds it; a device that could not keep it leaves it as it was typed. */
function submitted(state: (field: (name: string) => string) => Promise<void>): (event: SubmitEvent) => void {
  return (event) => {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const data = new FormData(form);
    void state((name) => String(data.get(name) ?? '').trim()).then(() => {
      for (const input of form.querySelectorAll<HTMLInputElement>('input:not([name=who])')) input.value = '';
      form.closest('details')?.removeAttribute('open');
    }, () => {});
  };
}
