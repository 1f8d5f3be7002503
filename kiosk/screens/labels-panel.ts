import { html, nothing, type TemplateResult } from 'lit';
import type { UnitState } from '../../server/core/facts/unit-state.ts';
import { GRAVE_FAULTS } from '../../server/core/gates/label-faults.ts';
import { type LabelFigure, type UnitLabels, unitLabels } from '../../server/core/gates/label-figures.ts';
import { lackingLabels } from '../../server/core/gates/label-signed.ts';
import type { LabelKind } from '../../server/core/setup/labels.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import type { Instant } from '../../server/core/units.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { t } from '../words/catalogue.ts';
import { faultList, figureName } from './label-parts.ts';
import './confirm-figures.ts';

/** What each label of the unit has to say, what is missing of it, and whether it was signed as fitted; `print` prints it. Nothing for a plant without labels. */
export function labelsPanel(store: PlantStore, state: UnitState, manufactured: Instant | null, print: () => void): TemplateResult | typeof nothing {
  const plant = store.view?.plant;
  const all = plant ? unitLabels(plant, state, manufactured) : null;
  if (!plant || !all) return nothing;
  const lacking = lackingLabels(state, plant);
  return html`<section aria-labelledby="labels-title"><h2 id="labels-title">${t('labels.title')}</h2><p>${t('labels.defer')} ${confirmedTag(all)}</p>
    <sh-confirm-figures .store=${store} .unit=${state}></sh-confirm-figures>${faultList(all.faults)}
    ${all.labels.map(({ label, figures }) => html`<h3>${labelName(label, all)}</h3><p>${standing(plant, state, label, lacking)}</p>${figureTable(figures, labelName(label, all))}`)}
    <button @click=${print}>${t('paper.labels')}</button></section>`;
}

/** The figures that the person who signs the label holds it against. */
export function labelToCompare(all: UnitLabels, label: LabelKind): TemplateResult {
  const figures = all.labels.find((one) => one.label === label)?.figures ?? [];
  const name = `${t('labels.compare')}: ${labelName(label, all)}`;
  return html`<div><b>${name}</b> ${confirmedTag(all)}</div>${faultList(all.faults.filter(({ kind }) => GRAVE_FAULTS.includes(kind)))}${figureTable(figures, name)}`;
}

function standing(plant: Plant, state: UnitState, label: LabelKind, lacking: ReturnType<typeof lackingLabels>): TemplateResult {
  const lack = lacking.find((one) => one.label === label)?.lack;
  if (lack) return html`<span class="tag red">✖ ${t(`labels.lack.${lack}`)}</span>`;
  const signed = state.labels.find((one) => one.label === label);
  if (signed) return html`<span class="tag green">✔ ${t('labels.signed', { who: signed.who })}</span>`;
  return html`<span class="tag">■ ${t(plant.labels?.required.includes(label) ? 'labels.lack.notSigned' : 'labels.notWanted')}</span>`;
}

const confirmedTag = ({ confirmed }: UnitLabels): TemplateResult =>
  (confirmed ? html`<span class="tag green">✔ ${t('labels.confirmed', { ...confirmed })}</span>` : html`<span class="tag yellow">▲ ${t('labels.notConfirmed')}</span>`);

function labelName(label: LabelKind, { tireRule }: UnitLabels): string {
  return t(`labels.${label}`, { rule: tireRule ?? '571.110, 571.120' });
}

function figureTable(figures: readonly LabelFigure[], name: string): TemplateResult {
  return html`<div class="table" tabindex="0" role="region" aria-label=${name}><table><tbody>${figures.map((figure) => html`<tr><th scope="row" style="font-weight: 400">${figureName(figure)}</th><td>${
    figure.missing === null ? html`<b>${figure.value}</b>` : html`<span class="tag yellow">▲ ${t('labels.missing', { why: t(`figureMissing.${figure.missing}`) })}</span>`}</td></tr>`)}</tbody></table></div>`;
}
