import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { beforeAll, describe, expect, it } from 'vitest';
import { readCode } from '../../../kiosk/data/read-code.ts';
import { codeFilm } from '../../support/code-film.ts';

const VIN = '1M8GDM9AXKP042788';
const HEADER_LINES = 2;

beforeAll(async () => {
  const wasm = readFileSync(createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm'));
  await prepareZXingModule({ overrides: { wasmBinary: wasm.buffer as ArrayBuffer } });
});

/** The first frame of a film as a picture of the camera. */
function firstFrame(film: Buffer): ImageData {
  let at = 0;
  for (let line = 0; line < HEADER_LINES; line++) at = film.indexOf('\n', at) + 1;
  const data = new Uint8ClampedArray(640 * 480 * 4);
  for (let i = 0; i < 640 * 480; i++) data.set([film[at + i]!, film[at + i]!, film[at + i]!, 255], i * 4);
  return { data, width: 640, height: 480, colorSpace: 'srgb' } as ImageData;
}

describe('the decoder that comes with the program', () => {
  it.each(['Code39', 'Code128', 'QRCode', 'DataMatrix'] as const)('reads a VIN with its identifier in %s', async (symbology) => {
    const picture = firstFrame(await codeFilm([{ symbology, text: `I${VIN}` }]));
    const [found] = await readBarcodes(picture, { formats: ['Code39', 'Code128', 'QRCode', 'DataMatrix'], maxNumberOfSymbols: 1 });
    expect(found?.text).toBe(`I${VIN}`);
    expect(readCode(found!.text, undefined, { serial: () => null, vin: (vin) => (vin === VIN ? 'CF1' : null) })).toEqual({ kind: 'unit', code: 'CF1' });
  });
});
