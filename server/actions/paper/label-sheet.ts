import type { UnitState } from '../../core/facts/unit-state.ts';
import { type LabelFigure, unitLabels } from '../../core/gates/label-figures.ts';
import type { Plant } from '../../core/setup/plant.ts';
import type { Instant } from '../../core/units.ts';
import { FAULT_WORDS, FIGURE_MISSING, FIGURE_NAMES, filled, LABEL_NAMES, labelWord } from './label-words.ts';
import { html, type Html, page, printedCode } from './page.ts';
import { type PaperLanguage, paperWord } from './words.ts';

/** The figures of a unit's labels as of `at`, for the label maker and for the person who compares; not their wording. `manufactured` as in `unitLabels`. */
export async function labelSheet(plant: Plant, state: UnitState, manufactured: Instant | null, at: Instant, language: PaperLanguage): Promise<string> {
  const all = unitLabels(plant, state, manufactured);
  const model = plant.models.find(({ code }) => code === state.model)?.name ?? state.model ?? '';
  const time = new Date(at).toLocaleString(language === 'es' ? 'es-US' : 'en-US', { timeZone: plant.timeZone, dateStyle: 'medium', timeStyle: 'short' });
  const header = html`<header><div><p>${plant.name} · ${labelWord(language, 'title')}</p><h1>${state.unit}</h1><div>${model} ${state.options.join(', ')}</div></div><div>${await printedCode('code128', state.unit)}</div></header>`;
  const title = `${labelWord(language, 'title')} ${state.unit}`;
  if (!all) return page(language, title, html`${header}<p>${labelWord(language, 'none')}</p>`);
  const { confirmed, tireRule } = all;
  return page(language, title, html`${header}
    <p class="caution">⚠ ${labelWord(language, 'defer')} ${confirmed ? labelWord(language, 'confirmed', { ...confirmed }) : labelWord(language, 'notConfirmed')}</p>
    ${all.faults.map(({ kind, axle, is, against }) => html`<p class="caution">⚠ ${filled(FAULT_WORDS[kind][language], { axle: axle ?? '', is, against })}</p>`)}
    ${all.labels.map(({ label, figures }) => html`<h2>${filled(LABEL_NAMES[label][language], { rule: tireRule ?? '571.110, 571.120' })}</h2><table><tbody>${figures.map((figure) => row(figure, language))}
      <tr><th>${labelWord(language, 'fitted')}</th><td></td></tr></tbody></table>`)}
    <p>${paperWord(language, 'printed', { time })}</p>`);
}

function row({ name, axle, value, missing }: LabelFigure, language: PaperLanguage): Html {
  const label = `${FIGURE_NAMES[name][language]}${axle === null ? '' : `, ${labelWord(language, 'axle', { n: axle })}`}`;
  return html`<tr><th>${label}</th><td>${missing === null ? value : labelWord(language, 'missing', { why: FIGURE_MISSING[missing][language] })}</td></tr>`;
}
