import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { prepareZXingModule, writeBarcode } from 'zxing-wasm/writer';

const WIDTH = 640;
const HEIGHT = 480;
const FRAMES = 12;

type Symbology = 'Code39' | 'Code128' | 'QRCode' | 'DataMatrix';

/** A film in the Y4M format of what a camera sees when each code is held before it for a second: dark on light, the colour planes grey. */
export async function codeFilm(codes: readonly { symbology: Symbology; text: string }[]): Promise<Buffer> {
  const wasm = readFileSync(createRequire(import.meta.url).resolve('zxing-wasm/writer/zxing_writer.wasm'));
  await prepareZXingModule({ overrides: { wasmBinary: wasm.buffer as ArrayBuffer } });
  const frames: Buffer[] = [];
  for (const { symbology, text } of codes) {
    const { symbol, error } = await writeBarcode(text, { format: symbology });
    if (error) throw new Error(`${symbology} ${text}: ${error}`);
    const picture = frameOf(symbol);
    for (let i = 0; i < FRAMES; i++) frames.push(Buffer.from('FRAME\n'), picture);
  }
  return Buffer.concat([Buffer.from(`YUV4MPEG2 W${WIDTH} H${HEIGHT} F${FRAMES}:1 Ip A1:1 C420jpeg\n`), ...frames]);
}

/** The symbol in the middle of a frame, as large as whole modules allow, with its quiet zone. */
function frameOf({ data, width, height }: { data: Uint8ClampedArray | Uint8Array; width: number; height: number }): Buffer {
  const scale = Math.max(1, Math.floor(Math.min((WIDTH - 60) / width, (HEIGHT - 60) / Math.min(height, width))));
  // A linear symbol is a line of modules: its bars are drawn as high as they are on a label.
  const [wide, high] = [width * scale, height * scale < 40 ? 120 : Math.min(height * scale, HEIGHT - 60)];
  const [left, top] = [Math.floor((WIDTH - wide) / 2), Math.floor((HEIGHT - high) / 2)];
  const light = Buffer.alloc(WIDTH * HEIGHT, 235);
  for (let y = 0; y < high; y++) {
    for (let x = 0; x < wide; x++) {
      const row = Math.min(height - 1, Math.floor((y * height) / high));
      if (data[row * width + Math.floor(x / scale)] === 0) light[(top + y) * WIDTH + left + x] = 16;
    }
  }
  return Buffer.concat([light, Buffer.alloc((WIDTH * HEIGHT) / 2, 128)]);
}
