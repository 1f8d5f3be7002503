import type { UnitState } from '../../core/facts/unit-state.ts';
import type { Plant } from '../../core/setup/plant.ts';
import { html, type Html, page, printedCode } from './page.ts';
import { type PaperLanguage, paperWord } from './words.ts';

/** Tags to hang on a unit and its components: one for each open hold, one for each recorded part. */
export async function tags(plant: Plant, state: UnitState, language: PaperLanguage): Promise<string> {
  const w = (key: Parameters<typeof paperWord>[1]): string => paperWord(language, key);
  const unit = await printedCode('code128', state.unit);
  const day = (at: number): string => new Date(at).toLocaleString(language === 'es' ? 'es-US' : 'en-US', { timeZone: plant.timeZone, dateStyle: 'medium', timeStyle: 'short' });
  const all: Html[] = state.holds.map(({ reason, note, opened, who }) =>
    html`<section class="tag"><strong>✋ ${w('hold')}</strong><p><b>${reason}</b> ${note}</p><p>${w('since')} ${day(opened)}, ${who}</p>${unit}</section>`);
  for (const { part, number, lot } of state.parts) {
    const name = plant.partKinds?.find(({ code }) => code === part)?.name ?? part;
    all.push(html`<section class="tag"><strong>${name}</strong><p>${w('component')} ${lot}</p>${await printedCode('datamatrix', number)}${unit}</section>`);
  }
  return page(language, state.unit, all.length === 0 ? html`<p>${w('noTags')}</p>` : html`${all}`);
}
