import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextBits, seedState } from '../../../server/core/forecast/random.ts';
import { simdDraws, STREAMS } from '../../../server/core/forecast/simd-draws.ts';
import { leb, signedLeb, VALUE, wasmModule } from '../../../server/core/forecast/wasm-code.ts';

/** Byte offsets in a memory of its own: the state, a table of up to 65,536 entries, and vectors. */
const [STATE, TABLE, READY, FREE, LEAVE] = [0, 1_024, 600_000, 620_000, 640_000];

function bench(bits: number, table: (i: number) => number) {
  const memory = new WebAssembly.Memory({ initial: 12 });
  const doubles = new Float64Array(memory.buffer);
  for (let i = 0; i < 2 ** bits; i++) doubles[TABLE / 8 + i] = table(i);
  const state = new Uint32Array(memory.buffer, STATE, 4 * STREAMS);
  const vector = (at: number, count: number): Float64Array => doubles.subarray(at / 8, at / 8 + count);
  return { simd: simdDraws(memory), state, vector };
}

/** The next outputs of the eight streams, eight at a time, by the scalar generator. */
function scalar(state: Uint32Array, runs: number): number[] {
  const streams = Array.from({ length: STREAMS }, (_, i) => {
    const first = 16 * (i >> 2) + (i & 3);
    return Uint32Array.of(state[first]!, state[first + 4]!, state[first + 8]!, state[first + 12]!);
  });
  return Array.from({ length: runs }, (_, r) => nextBits(streams[r % STREAMS]!));
}

describe('the loops in WebAssembly', () => {
  it('draw what the scalar generator draws: run r from stream r mod 8', () => {
    fc.assert(fc.property(fc.integer(), fc.nat(), fc.integer({ min: 1, max: 16 }), fc.integer({ min: 1, max: 40 }), (seed, key, bits, eights) => {
      const { simd, state, vector } = bench(bits, (i) => i);
      seedState(state, seed, key, key + 1, 1, 0);
      const expected = scalar(state, 8 * eights).map((drawn) => drawn >>> (32 - bits));
      simd.draw(STATE, TABLE, 32 - bits, 1, READY, 8 * eights);
      expect([...vector(READY, 8 * eights)]).toEqual(expected);
    }), { numRuns: 40 });
  });

  it('give the published values of xoshiro128+ in every stream', () => {
    const { simd, state, vector } = bench(16, (i) => i);
    for (let word = 0; word < 4; word++) for (let lane = 0; lane < 4; lane++) state[4 * word + lane] = state[16 + 4 * word + lane] = word + 1;
    simd.draw(STATE, TABLE, 16, 1, READY, 80);
    const published = [5, 12295, 25178119, 27286542, 39879690, 1140358681, 3276312097, 4110231701, 399823256, 2144435200].map((value) => value >>> 16);
    expect([...vector(READY, 80)]).toEqual(published.flatMap((value) => Array.from({ length: 8 }, () => value)));
  });

  it('go on where the stream ended', () => {
    const once = bench(10, (i) => i);
    const twice = bench(10, (i) => i);
    for (const { state } of [once, twice]) seedState(state, 5, 6, 7, 1, 0);
    once.simd.draw(STATE, TABLE, 22, 1, READY, 64);
    twice.simd.draw(STATE, TABLE, 22, 1, READY, 24);
    twice.simd.draw(STATE, TABLE, 22, 1, READY + 8 * 24, 40);
    expect([...twice.vector(READY, 64)]).toEqual([...once.vector(READY, 64)]);
  });

  it('advance a unit: the later of ready and free place, kept as the leave before, and the work on top', () => {
    const times = fc.array(fc.double({ min: 0, max: 1e6, noNaN: true }), { minLength: 32, maxLength: 32 });
    fc.assert(fc.property(times, times, fc.double({ min: 0, max: 500, noNaN: true }), fc.integer(), (ready, free, scale, seed) => {
      const { simd, state, vector } = bench(8, (i) => Math.sqrt(i));
      vector(READY, 32).set(ready);
      vector(FREE, 32).set(free);
      seedState(state, seed, 1, 2, 1, 0);
      const work = scalar(state, 32).map((drawn) => Math.sqrt(drawn >>> 24) * scale);
      simd.advance(STATE, TABLE, 24, scale, READY, FREE, LEAVE, 32);
      expect([...vector(LEAVE, 32)]).toEqual(ready.map((at, r) => Math.max(at, free[r]!)));
      expect([...vector(READY, 32)]).toEqual(ready.map((at, r) => Math.max(at, free[r]!) + work[r]!));
      expect([...vector(FREE, 32)]).toEqual(free);
    }), { numRuns: 40 });
  });

  it('carry Infinity, where a calendar ends', () => {
    const { simd, vector } = bench(1, () => 3);
    vector(READY, 8).fill(Number.POSITIVE_INFINITY);
    vector(FREE, 8).fill(5);
    simd.advance(STATE, TABLE, 31, 2, READY, FREE, LEAVE, 8);
    expect([...vector(READY, 8), ...vector(LEAVE, 8)]).toEqual(Array.from({ length: 16 }, () => Number.POSITIVE_INFINITY));
  });

  it('touch nothing behind the runs asked for', () => {
    const { simd, vector } = bench(1, () => 3);
    vector(READY, 24).fill(-1);
    simd.draw(STATE, TABLE, 31, 1, READY, 16);
    expect([...vector(READY, 24)]).toEqual([...Array.from({ length: 16 }, () => 3), ...Array.from({ length: 8 }, () => -1)]);
  });
});

describe('bytes of a module', () => {
  it('write integers as the examples of LEB128 do', () => {
    // DWARF 4, section 7.6, figures 22 and 23: 2, 127, 128, 129, 12857; 2, -2, 127, -127, 128, -128, 129, -129. From memory.
    expect([2, 127, 128, 129, 12_857].map(leb)).toEqual([[2], [127], [0x80, 1], [0x81, 1], [0xb9, 0x64]]);
    expect([2, -2, 127, -127, 128, -128, 129, -129].map(signedLeb)).toEqual([[2], [0x7e], [0xff, 0], [0x81, 0x7f], [0x80, 1], [0x80, 0x7f], [0x81, 1], [0xff, 0x7e]]);
  });

  it('write integers that read back as themselves', () => {
    const read = (bytes: number[]): number => bytes.reduce((value, byte, i) => value + (byte & 0x7f) * 2 ** (7 * i), 0);
    fc.assert(fc.property(fc.integer({ min: 0, max: 2 ** 32 - 1 }), (value) => {
      expect(read(leb(value))).toBe(value);
    }));
    fc.assert(fc.property(fc.integer(), (value) => {
      const bytes = signedLeb(value);
      const negative = (bytes.at(-1)! & 0x40) !== 0;
      expect(read(bytes) - (negative ? 2 ** (7 * bytes.length) : 0)).toBe(value);
    }));
  });

  it('make a module that the engine accepts, and one that it does not when the body is not sound', () => {
    const parameters = [VALUE.i32];
    expect(WebAssembly.validate(wasmModule([{ name: 'nothing', parameters, vectors: 0, body: [] }]))).toBe(true);
    expect(WebAssembly.validate(wasmModule([{ name: 'leavesOne', parameters, vectors: 0, body: [0x20, 0] }]))).toBe(false);
  });
});
