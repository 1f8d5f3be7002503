import fc from 'fast-check';

const segment = (marker: number, ...content: number[]): number[] => [0xff, marker, (content.length + 2) >> 8, (content.length + 2) & 0xff, ...content];
const START = [0xff, 0xd8];
const END = [0xff, 0xd9];
const frame = (width: number, height: number): number[] => segment(0xc0, 8, height >> 8, height & 0xff, width >> 8, width & 0xff, 1, 1, 0x11, 0);
const SCAN = segment(0xda, 1, 1, 0, 0, 63, 0);
const made = (width: number, height: number, content: number[]): Buffer => Buffer.from([...START, ...frame(width, height), ...SCAN, ...content, ...END]);

/** The bytes of one JPEG by its form (ITU-T T.81, annex B). */
export const wholePhoto: fc.Arbitrary<Buffer> = fc.tuple(fc.integer({ min: 1, max: 1_280 }), fc.integer({ min: 1, max: 1_280 }), fc.array(fc.nat(254), { maxLength: 20 })).map(([width, height, content]) => made(width, height, content));

/** Bytes that begin as one, or end as one, and are none: cut off, of no size, of too much, with a segment that runs over the end, another picture's. */
export const brokenPhoto: fc.Arbitrary<Buffer> = fc.oneof(
  fc.tuple(wholePhoto, fc.nat(40)).map(([whole, at]) => whole.subarray(0, at)),
  fc.tuple(wholePhoto, fc.nat(40), fc.nat(255)).map(([whole, at, byte]) => Buffer.from(whole.map((one, i) => (i === at ? byte : one)))),
  fc.uint8Array({ maxLength: 60 }).map((bytes) => Buffer.from(bytes)),
  fc.constantFrom(
    made(0, 10, []), made(1_281, 1, []), made(65_535, 65_535, []), Buffer.from([...START, ...END]), Buffer.from([...START, 0xff, 0xe0, 0xff, 0xff, ...END]), Buffer.from([...START, 0xff, 0xff, 0xff, 0xff, ...END]), Buffer.alloc(0),
    Buffer.from('GIF89a<script>alert(1)</script>'), Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>'), Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), Buffer.concat([Buffer.from(START), Buffer.alloc(1_000_001, 1), Buffer.from(END)]),
  ),
);
