/** Finds a code in a picture of the camera. */
export interface CodeDecoder {
  /** What the first code in the picture says, or null. */
  read(picture: ImageData): Promise<string | null>;
}

interface Detector { detect(picture: ImageData): Promise<{ rawValue: string }[]> }
interface DetectorClass { new (options: { formats: string[] }): Detector; getSupportedFormats(): Promise<string[]> }

const FORMATS = ['code_39', 'code_128', 'qr_code', 'data_matrix'];

/** The browser's own decoder where it knows every sort of symbol we need, else ours, which comes with the program and works without a network. */
export async function openDecoder(): Promise<CodeDecoder> {
  const own = (globalThis as { BarcodeDetector?: DetectorClass }).BarcodeDetector;
  const known = own ? await own.getSupportedFormats().catch((): string[] => []) : [];
  if (!own || !FORMATS.every((format) => known.includes(format))) return builtInDecoder();
  const detector = new own({ formats: FORMATS });
  return { read: async (picture) => (await detector.detect(picture))[0]?.rawValue ?? null };
}

async function builtInDecoder(): Promise<CodeDecoder> {
  const [{ prepareZXingModule, readBarcodes }, { default: wasm }] = await Promise.all([import('zxing-wasm/reader'), import('zxing-wasm/reader/zxing_reader.wasm?url')]);
  // Without this the library would fetch its code from another host.
  prepareZXingModule({ overrides: { locateFile: () => wasm } });
  return {
    async read(picture) {
      const found = await readBarcodes(picture, { formats: ['Code39', 'Code128', 'QRCode', 'DataMatrix'], maxNumberOfSymbols: 1 });
      return found[0]?.text || null;
    },
  };
}
