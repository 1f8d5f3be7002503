import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jpegSize } from '../../../server/core/photos/jpeg.ts';

/** Segments by ITU-T T.81, annex B: marker, length (itself counted), content. */
const segment = (marker: number, ...content: number[]): number[] => [0xff, marker, (content.length + 2) >> 8, (content.length + 2) & 0xff, ...content];
const frame = (width: number, height: number, marker = 0xc0): number[] => segment(marker, 8, height >> 8, height & 0xff, width >> 8, width & 0xff, 1, 1, 0x11, 0);
const SOI = [0xff, 0xd8];
const SCAN = [...segment(0xda, 1, 1, 0, 0, 63, 0), 0x12, 0x34];
const EOI = [0xff, 0xd9];
const jpeg = (...parts: number[][]): Uint8Array => new Uint8Array(parts.flat());

// The smallest whole JPEG that a common encoder writes of one grey pixel is laid out the same way: SOI, DQT, SOF0, DHT, SOS, EOI.
const whole = (width: number, height: number): Uint8Array => jpeg(SOI, segment(0xe0, 1, 2, 3), segment(0xdb, ...Array<number>(65).fill(1)), frame(width, height), segment(0xc4, 0), SCAN, EOI);

describe('the size of a JPEG', () => {
  it('is read from its frame header', () => {
    expect(jpegSize(whole(1280, 960))).toEqual({ width: 1280, height: 960 });
    expect(jpegSize(jpeg(SOI, frame(3, 5, 0xc2), SCAN, EOI))).toEqual({ width: 3, height: 5 });
    expect(jpegSize(jpeg(SOI, [0xff, 0xff], frame(3, 5), SCAN, EOI))).toEqual({ width: 3, height: 5 });
  });

  it('comes out as written for every size there is', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 65_535 }), fc.integer({ min: 1, max: 65_535 }), (width, height) => {
      expect(jpegSize(whole(width, height))).toEqual({ width, height });
    }));
  });

  it.each([
    ['nothing', jpeg()], ['a page', new TextEncoder().encode('<html><script>alert(1)</script></html>')], ['a PNG', jpeg([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])],
    ['no end', jpeg(SOI, frame(3, 5), SCAN)], ['words behind the end', jpeg(SOI, frame(3, 5), SCAN, EOI, [0x3c, 0x68])], ['no frame', jpeg(SOI, SCAN, EOI)],
    ['no scan', jpeg(SOI, frame(3, 5), EOI)], ['no width', whole(0, 5)], ['no height', whole(3, 0)], ['only its two ends', jpeg(SOI, EOI)],
    ['a segment longer than the file', jpeg(SOI, [0xff, 0xc0, 0xff, 0xff, 8, 0, 1], EOI)], ['a segment shorter than its own length', jpeg(SOI, [0xff, 0xc0, 0, 1], EOI)],
    ['a frame without its sizes', jpeg(SOI, segment(0xc0, 8, 0), SCAN, EOI)], ['tables in the place of the frame', jpeg(SOI, segment(0xc4, 8, 0, 1, 0, 1, 1), SCAN, EOI)],
  ])('is none for %s', (_, bytes) => {
    expect(jpegSize(bytes)).toBeNull();
  });

  it('never fails, and is none once a part is cut off', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => void jpegSize(bytes)));
    fc.assert(fc.property(fc.integer({ min: 0, max: whole(9, 9).length - 1 }), (length) => void expect(jpegSize(whole(9, 9).slice(0, length))).toBeNull()));
  });
});
