import { canHold, codePng, type Symbology } from './codes.ts';

/** HTML that is safe to put into a page. */
export interface Html { html: string }

/** Puts a page together: whatever is not `Html` already is text and is escaped. */
export function html(parts: TemplateStringsArray, ...values: readonly (string | number | Html | readonly Html[])[]): Html {
  const text = (value: (typeof values)[number]): string => {
    if (typeof value === 'string' || typeof value === 'number') return escaped(String(value));
    return 'html' in value ? value.html : value.map((one) => one.html).join('');
  };
  return { html: parts.reduce((all, part, i) => all + part + (i < values.length ? text(values[i]!) : ''), '') };
}

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };
const escaped = (text: string): string => text.replaceAll(/[&<>"']/g, (sign) => ENTITIES[sign]!);

/** A printed code with what it says beneath it; the words alone where the symbology cannot hold them. `said` is what a person reads. */
export async function printedCode(symbology: Symbology, text: string, said = text): Promise<Html> {
  if (!canHold(symbology, text)) return html`<figure><figcaption>${said}</figcaption></figure>`;
  const png = (await codePng(symbology, text)).toString('base64');
  return html`<figure class="${symbology}"><img alt="${said}" src="data:image/png;base64,${png}"><figcaption>${said}</figcaption></figure>`;
}

const STYLE = `
  @page { margin: 12mm; } body { font: 11pt/1.35 sans-serif; color: #000; background: #fff; margin: 0; }
  h1 { font-size: 26pt; margin: 0; } h2 { font-size: 13pt; margin: 6mm 0 2mm; border-bottom: 0.3mm solid #000; }
  header { display: flex; justify-content: space-between; gap: 8mm; align-items: start; }
  table { border-collapse: collapse; width: 100%; } th, td { border: 0.2mm solid #666; padding: 1.2mm 2mm; text-align: start; vertical-align: top; }
  figure { margin: 0; text-align: center; break-inside: avoid; } figcaption { font: 10pt monospace; }
  .code128 img, .code39 img { height: 14mm; max-width: 110mm; } .qrcode img { width: 32mm; } .datamatrix img { width: 18mm; }
  .sheet { break-after: page; } .sheet:last-of-type { break-after: auto; }
  .tag { border: 0.6mm solid #000; padding: 6mm; width: 90mm; margin: 0 0 8mm; break-inside: avoid; } .tag strong { display: block; font-size: 20pt; }
  .placard { text-align: center; } .placard h1 { font-size: 90pt; } .placard p { font-size: 30pt; margin: 4mm 0 12mm; } .placard .qrcode img { width: 90mm; } .placard .code128 img { height: 25mm; }
  .sign { width: 30mm; } .caution { border: 0.6mm solid #000; padding: 2mm 3mm; font-weight: bold; }
  @media screen { body { max-width: 190mm; margin: 8mm auto; } }`;

/** A whole page for a printer, with nothing to fetch. */
export function page(language: 'en' | 'es', title: string, body: Html): string {
  return `<!doctype html>${html`<html lang="${language}"><head><meta charset="utf-8"><title>${title}</title><style>${{ html: STYLE }}</style></head><body>${body}</body></html>`.html}`;
}
