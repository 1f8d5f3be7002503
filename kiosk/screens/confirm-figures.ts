import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { UnitState } from '../../server/core/facts/unit-state.ts';
import { faultsOf } from '../../server/core/gates/label-faults.ts';
import { figuresFor } from '../../server/core/gates/label-figures.ts';
import { statedFigures } from '../../server/core/gates/label-stated.ts';
import type { LabelFigures } from '../../server/core/setup/labels.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import { ApiError, ask } from '../data/api.ts';
import { mayUse } from '../data/me.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { base } from '../styles/tokens.ts';
import { locale, t } from '../words/catalogue.ts';
import { editionForm } from './edition-form.ts';
import { faultList, figureName } from './label-parts.ts';

/** Until the figures of a unit's labels are confirmed: the button by which who may confirms them against the code in force, and its form with every figure of the entry. */
@customElement('sh-confirm-figures')
export class ConfirmFigures extends LitElement {
  static override styles = [base, css`
    :host { display: block; } h2, p, ul { margin: 0; } h2 { font-size: 1.05em; } ul { padding: 0 0 0 1.2em; }
    .form { display: grid; gap: 12px; margin: 10px 0 12px; padding: 14px; border: 2px solid var(--ink-soft); border-radius: var(--radius); background: var(--surface); }
    label { display: grid; gap: 4px; }
    input, button { min-height: var(--touch); width: 100%; overflow-wrap: anywhere; } button { font-weight: 600; min-width: var(--touch); }
    .main { background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); font-size: 1.2em; }
    table { border-collapse: collapse; width: 100%; } th, td { text-align: start; padding: 4px 12px 4px 0; border-bottom: 1px solid var(--rule); vertical-align: top; overflow-wrap: anywhere; } th { font-weight: 400; width: 55%; }
    .said, .tag { padding: 8px 12px; border-radius: var(--radius); font-weight: 600; } .tag { display: inline-block; padding: 0.1em 0.55em; font-weight: 400; }
    .red { background: var(--red-fill); color: var(--red-ink); } .yellow { background: var(--yellow-fill); color: var(--yellow-ink); } .green { background: var(--green-fill); color: var(--green-ink); }
    @media print { :host { display: none; } }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) unit: UnitState | null = null;
  /** The figures that the open form shows: what is confirmed are these, whatever holds by then. */
  @state() private seen: LabelFigures | null = null;
  @state() private said: { kind: 'green' | 'red'; words: string } | null = null;
  private sending = false;
  private of = '';

  override willUpdate(): void {
    const of = this.unit?.unit ?? '';
    if (of === this.of) return;
    this.of = of;
    this.seen = null;
    this.said = null;
  }

  override render(): TemplateResult {
    const { store, unit, said } = this;
    const plant = store?.view?.plant;
    const own = plant?.labels && unit?.known ? figuresFor(plant.labels, unit) : null;
    const open = plant && own && own.confirmed === null && mayUse('POST /api/plants/:plant/units/:unit/labels/confirm', store.plant);
    return html`${said ? html`<p class="said ${said.kind}" role=${said.kind === 'red' ? 'alert' : 'status'}>${said.kind === 'red' ? '✖' : '✔'} ${said.words}</p>` : nothing}
      ${!open ? nothing : this.seen ? this.form(plant, this.seen) : html`<button @click=${() => this.show(own)}>${t('labels.confirm')}</button>`}`;
  }

  private show(figures: LabelFigures | null): void {
    this.seen = figures;
    this.said = null;
  }

  private form(plant: Plant, seen: LabelFigures): TemplateResult {
    const shown = html`<p><b>${forWhom(plant, seen)}</b></p>${faultList(faultsOf(seen, null))}<table aria-label=${t('labels.stated')}><tbody>${statedFigures(seen).map((figure) =>
      html`<tr><th scope="row">${figureName(figure)}</th><td><b>${figure.value}</b></td></tr>`)}</tbody></table>`;
    return editionForm({ title: t('labels.stated'), words: t('labels.confirmWords'), confirm: t('labels.confirm'), shown, submit: (edition) => void this.confirm(seen, edition), cancel: () => this.show(null) });
  }

  private async confirm(figures: LabelFigures, edition: string): Promise<void> {
    const { store, unit } = this;
    if (!store || !unit || this.sending) return;
    this.sending = true;
    try {
      const path = [store.plant, 'units', unit.unit, 'labels', 'confirm'].map(encodeURIComponent).join('/');
      await ask(`/api/plants/${path}`, { method: 'POST', body: { edition, figures } });
      this.seen = null;
      this.said = { kind: 'green', words: t('labels.confirmDone') };
      await store.refresh();
    } catch (error) {
      this.said = { kind: 'red', words: error instanceof ApiError && error.status !== 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer') };
      // What was shown does not hold any more: the next form shows what does.
      if (error instanceof ApiError && error.code === 'setupChanged') await this.lookAgain(store);
    } finally {
      this.sending = false;
    }
  }

  private async lookAgain(store: PlantStore): Promise<void> {
    this.seen = null;
    await store.refresh();
  }
}

/** The builds that the entry is for, by the names of their models and options. */
function forWhom({ models, options }: Plant, figures: LabelFigures): string {
  const named = (codes: readonly string[], all: readonly { code: string; name: string }[], type: Intl.ListFormatType): string =>
    new Intl.ListFormat(locale(), { type }).format(codes.map((code) => all.find((one) => one.code === code)?.name ?? code));
  const units = figures.models ? t('labels.forModels', { models: named(figures.models, models, 'conjunction') }) : t('labels.forAll');
  return figures.options ? t('labels.forOptions', { units, options: named(figures.options, options, 'disjunction') }) : units;
}
