import { code128, code39, datamatrix, qrcode } from 'bwip-js/node';

/** Symbologies on paper: Code 39 where a plate has it, Code 128 for hand scanners, QR and Data Matrix for cameras and small tags. */
export type Symbology = 'code39' | 'code128' | 'qrcode' | 'datamatrix';

const DRAW = { code39, code128, qrcode, datamatrix };
/** Pixels of the narrowest element: enough for sharp edges at the size the pages print it. */
const SCALE = 4;
const LINEAR_HEIGHT_MM = 12;
/** Code 128 wider than this does not fit a tag and is read badly by hand. */
const LONGEST_LINEAR = 32;

/** A code of `text` as a PNG. Throws when the symbology cannot hold the text: `canHold` says so before. */
export async function codePng(symbology: Symbology, text: string): Promise<Buffer> {
  const linear = symbology === 'code39' || symbology === 'code128';
  // Quiet zones of ten narrow elements for linear codes, four modules for QR: what ISO/IEC 16388, 15417 and 18004 ask for (from memory).
  const quiet = { paddingwidth: linear ? 10 : 4, paddingheight: linear ? 1 : 4, backgroundcolor: 'FFFFFF' };
  return DRAW[symbology]({ bcid: symbology, text, scale: SCALE, ...quiet, ...(linear ? { height: LINEAR_HEIGHT_MM } : {}) });
}

export function canHold(symbology: Symbology, text: string): boolean {
  if (text === '') return false;
  if (symbology === 'code39') return text.length <= LONGEST_LINEAR && /^[0-9A-Z\-. $/+%]+$/.test(text);
  if (symbology === 'code128') return text.length <= LONGEST_LINEAR && /^[ -~]+$/.test(text);
  return new TextEncoder().encode(text).length <= 400;
}
