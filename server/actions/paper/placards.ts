import type { Plant } from '../../core/setup/plant.ts';
import { html, type Html, page, printedCode } from './page.ts';
import { type PaperLanguage, paperWord } from './words.ts';

/** A sheet for each station and place of the plant, in the order in which units pass them: its code to read from afar and to scan. */
export async function placards(plant: Plant, language: PaperLanguage): Promise<string> {
  const stations = [...plant.lines.flatMap((line) => line.stations), ...plant.places];
  const sheets: Html[] = [];
  for (const { code, name } of stations) {
    sheets.push(html`<section class="sheet placard"><h1>${code}</h1><p>${name}</p>${await printedCode('qrcode', code)}${await printedCode('code128', code)}</section>`);
  }
  return page(language, paperWord(language, 'placards'), html`${sheets}`);
}
