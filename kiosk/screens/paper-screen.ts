import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { PlantController } from '../controllers/plant.ts';
import { ApiError } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { placardsPath, printPaper, unitPaperPath } from '../data/print-paper.ts';
import { type ScreenParams, unitPath } from '../data/route.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

const SHOWN = 40;

/** What is printed of the plant: the traveler and tags of a unit, the placards of its stations. */
@customElement('sh-paper-screen')
export class PaperScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; } h1 { margin: 0 0 12px; }
    label { display: grid; gap: 4px; max-width: 24em; margin: 12px 0; } input, button { min-height: 48px; }
    ul { list-style: none; padding: 0; margin: 0; } li { display: flex; flex-wrap: wrap; gap: 8px 16px; align-items: center; padding: 6px 0; border-bottom: 1px solid var(--rule); }
    li a { min-width: 8em; font-weight: 700; } .what { flex: 1 1 10em; } .wrong { background: var(--red-fill); color: var(--red-ink); padding: 10px 14px; }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private sought = '';
  @state() private problem = '';
  private readonly plant = new PlantController(this, () => this.store);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t('app.loading')}</p>`;
    const code = this.store!.plant;
    const sought = this.sought.trim().toLowerCase();
    const found = view.units.filter(({ state: unit }) => unit.known && [unit.unit, unit.model ?? '', unit.dealer, unit.vin ?? ''].some((text) => text.toLowerCase().includes(sought)));
    return html`<h1>${t('nav.paper')}</h1>
      <button @click=${() => void this.print(placardsPath(code))}>${t('paper.placards')}</button>
      ${this.problem ? html`<p class="wrong" role="alert">✖ ${this.problem}</p>` : nothing}
      <label>${t('paper.find')} <input type="search" autocomplete="off" maxlength="100" @input=${(event: Event) => (this.sought = (event.target as HTMLInputElement).value)} /></label>
      ${found.length === 0 ? html`<p role="status">${t('paper.noneFound')}</p>` : html`<ul>${found.slice(0, SHOWN).map(({ state: unit }) => html`<li><a href=${unitPath(code, unit.unit)}>${unit.unit}</a>
        <span class="what">${unit.model ?? ''} ${unit.dealer}</span>
        ${(view.plant.labels ? ['traveler', 'tags', 'labels'] as const : ['traveler', 'tags'] as const).map((paper) => html`<button aria-label=${`${t(`paper.${paper}`)} ${unit.unit}`} @click=${() => void this.print(unitPaperPath(code, unit.unit, paper))}>${t(`paper.${paper}`)}</button>`)}</li>`)}</ul>`}
      ${found.length > SHOWN ? html`<p>${t('paper.more', { n: found.length - SHOWN })}</p>` : nothing}`;
  }

  private async print(path: string): Promise<void> {
    this.problem = '';
    try {
      await printPaper(path);
    } catch (error) {
      this.problem = error instanceof ApiError && error.status !== 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer');
    }
  }
}
