import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';

const wasm = readFileSync(createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm'));
// Given here, for it would be fetched from elsewhere otherwise.
prepareZXingModule({ overrides: { wasmBinary: wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength) as ArrayBuffer } });

export interface ReadCode { format: string; text: string }

/** What a decoder that shares nothing with the printer reads in the picture. */
export async function readCodes(png: Uint8Array): Promise<ReadCode[]> {
  const found = await readBarcodes(new Blob([Uint8Array.from(png)]), { tryHarder: true, formats: ['Code39', 'Code128', 'QRCode', 'DataMatrix'] });
  return found.map(({ format, text }) => ({ format, text }));
}

/** What is read in each picture of a page, in their order. */
export async function readPage(page: string): Promise<(ReadCode & { said: string })[]> {
  const read: (ReadCode & { said: string })[] = [];
  for (const [, said = '', png = ''] of page.matchAll(/<img alt="([^"]*)" src="data:image\/png;base64,([^"]+)">/g)) {
    const codes = await readCodes(Buffer.from(png, 'base64'));
    read.push({ said, ...(codes.length === 1 ? codes[0]! : { format: `${codes.length} codes`, text: '' }) });
  }
  return read;
}
