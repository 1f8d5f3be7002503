/** Longest side in pixels, and most bytes, of a photo that is kept: a device shrinks it before it sends it. */
export const PHOTO_SIDE = 1_280;
export const PHOTO_BYTES = 1_000_000;

export interface JpegSize {
  width: number;
  height: number;
}

const START_OF_SCAN = 0xda;
const END = [0xff, 0xd9] as const;
/** Frame headers C0 to CF, without the tables C4 and CC and the reserved C8. */
const isFrame = (marker: number): boolean => marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;

/**
 * Size of the picture in `bytes` when they are one whole JPEG (ITU-T T.81, annex B: SOI, segments with their lengths, a frame header before the
 * first scan, EOI at the end); null for anything else. Its content between scan and end is the decoder's to judge.
 */
export function jpegSize(bytes: Uint8Array): JpegSize | null {
  const at = (i: number): number => bytes[i] ?? -1;
  if (at(0) !== 0xff || at(1) !== 0xd8 || at(bytes.length - 2) !== END[0] || at(bytes.length - 1) !== END[1]) return null;
  let size: JpegSize | null = null;
  for (let i = 2; i < bytes.length;) {
    if (at(i) !== 0xff) return null;
    while (at(i + 1) === 0xff) i++;
    const marker = at(i + 1);
    const length = at(i + 2) * 256 + at(i + 3);
    if (marker < 0xc0 || length < 2 || i + 2 + length > bytes.length) return null;
    if (isFrame(marker)) {
      if (length < 8) return null;
      size = { height: at(i + 5) * 256 + at(i + 6), width: at(i + 7) * 256 + at(i + 8) };
    }
    if (marker === START_OF_SCAN) return size && size.width > 0 && size.height > 0 ? size : null;
    i += 2 + length;
  }
  return null;
}
