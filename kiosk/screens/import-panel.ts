import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ImportMode, ImportReply } from '../../server/contract/replies.ts';
import { ApiError, ask, askJson } from '../data/api.ts';
import { saveFile } from '../data/save-file.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

interface Checked {
  file: string;
  text: string;
  reply: ImportReply;
}

const LONGEST_MS = 120_000;

/** Units from production control's file: checked first, every bad row named by line and column, imported when the user says so. */
@customElement('sh-import-panel')
export class ImportPanel extends LitElement {
  static override styles = [base, css`
    :host { display: grid; gap: 12px; max-width: 60em; }
    p { margin: 0; }
    .row { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; }
    label { display: grid; gap: 4px; }
    input { min-height: 48px; max-width: 100%; }
    button { min-height: 48px; }
    .act { font-size: 1.2em; font-weight: 700; background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
    .said { padding: 10px 14px; border-radius: var(--radius); font-weight: 700; }
    .good { background: var(--green-fill); color: var(--green-ink); }
    .bad { background: var(--yellow-fill); color: var(--yellow-ink); }
    .wrong { background: var(--red-fill); color: var(--red-ink); }
    .table { overflow: auto; max-height: 24em; }
    table { border-collapse: collapse; width: 100%; }
    th, td { text-align: start; padding: 6px 14px 6px 0; border-bottom: 1px solid var(--rule); vertical-align: top; overflow-wrap: anywhere; }
  `];

  @property() plant = '';
  @state() private checked: Checked | null = null;
  @state() private imported: { file: string; n: number } | null = null;
  @state() private busy = '';
  @state() private problem = '';

  override render(): TemplateResult {
    return html`<p>${t('schedule.columns')}</p>
      <div class="row"><label>${t('schedule.file')} <input type="file" accept=".csv,text/csv" @change=${(event: Event) => void this.choose(event)} /></label>
        <button @click=${() => void this.template()}>${t('schedule.template')}</button></div>
      ${this.busy ? html`<p role="status">${this.busy}</p>` : nothing}
      ${this.problem ? html`<p class="said wrong" role="alert">✖ ${this.problem}</p>` : nothing}
      ${this.imported ? html`<p class="said good" role="status">✔ ${t('schedule.imported', { n: this.imported.n, file: this.imported.file })}</p>` : nothing}
      ${this.checked ? this.found(this.checked) : nothing}`;
  }

  private found({ reply }: Checked): TemplateResult {
    const { problems, good } = reply;
    if (problems.length === 0) return html`<p>${t('schedule.good', { n: good })}</p><div><button class="act" @click=${() => void this.take('all')}>${t('schedule.all', { n: good })}</button></div>`;
    return html`<p class="said bad" role="alert">⚠ ${t('schedule.bad', { n: problems.length })} ${t('schedule.good', { n: good })}</p>
      <div class="table" tabindex="0" role="region" aria-label=${t('schedule.problem')}><table>
        <thead><tr><th scope="col">${t('schedule.line')}</th><th scope="col">${t('schedule.column')}</th><th scope="col">${t('schedule.problem')}</th></tr></thead>
        <tbody>${problems.map(({ line, column, message }) => html`<tr><td>${line}</td><td>${column}</td><td>${message}</td></tr>`)}</tbody></table></div>
      ${good > 0 ? html`<div><button class="act" @click=${() => void this.take('good')}>${t('schedule.goodOnly', { n: good })}</button></div>` : nothing}`;
  }

  private async choose(event: Event): Promise<void> {
    const input = event.target as HTMLInputElement;
    const file = input.files?.[0];
    if (!file) return;
    this.checked = null;
    this.imported = null;
    const text = await file.text();
    const reply = await this.send(text, 'check', t('schedule.checking', { file: file.name }));
    if (reply) this.checked = { file: file.name, text, reply };
    // The same file, put right, may be chosen again.
    input.value = '';
  }

  private async take(mode: ImportMode): Promise<void> {
    const { checked } = this;
    if (!checked) return;
    const reply = await this.send(checked.text, mode, t('schedule.checking', { file: checked.file }));
    if (!reply) return;
    this.imported = reply.imported > 0 ? { file: checked.file, n: reply.imported } : null;
    this.checked = reply.imported > 0 ? null : { ...checked, reply };
  }

  private async send(text: string, mode: ImportMode, busy: string): Promise<ImportReply | null> {
    this.busy = busy;
    this.problem = '';
    try {
      return await askJson<ImportReply>(`${this.path()}/import?mode=${mode}`, { method: 'POST', body: text, type: 'text/csv', timeout: LONGEST_MS });
    } catch (error) {
      this.problem = error instanceof ApiError && error.status !== 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer');
      return null;
    } finally {
      this.busy = '';
    }
  }

  private async template(): Promise<void> {
    try {
      saveFile(await (await ask(`${this.path()}/template.csv`)).blob(), 'units-template.csv');
    } catch {
      this.problem = t('error.noAnswer');
    }
  }

  private path(): string {
    return `/api/plants/${encodeURIComponent(this.plant)}/units`;
  }
}
