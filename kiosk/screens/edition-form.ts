import { html, nothing, type TemplateResult } from 'lit';
import { t } from '../words/catalogue.ts';

export interface EditionForm {
  title: string;
  /** What the person confirms by it, and what follows. */
  words: string;
  /** What the button says. */
  confirm: string;
  /** What is confirmed, where the screen does not show it besides. */
  shown?: TemplateResult;
  submit(edition: string): void;
  cancel(): void;
}

/** Who may says that something of the set-up is right by an edition of the code in force. */
export function editionForm({ title, words, confirm, shown, submit, cancel }: EditionForm): TemplateResult {
  const said = (event: SubmitEvent): void => {
    event.preventDefault();
    submit(String(new FormData(event.target as HTMLFormElement).get('edition')));
  };
  return html`<form class="form panel" @submit=${said}><h2>${title}</h2><p>${words}</p>${shown ?? nothing}
    <label>${t('item.edition')}<input name="edition" required maxlength="300" autocomplete="off" /></label>
    <button class="main">${confirm}</button></form><button @click=${cancel}>${t('station.cancel')}</button>`;
}
