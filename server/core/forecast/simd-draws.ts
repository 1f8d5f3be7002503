import { F64X2, get, I32_ADD, i32Const, i32x4Lane, I32X4, load, loadHigh, loadLow, repeatWhile, set, store, tee, V128, VALUE, type WasmFunction, wasmModule } from './wasm-code.ts';

/**
 * The innermost loops of the forecast, eight runs at a time: two vectors of four streams, so that one can go on while the other waits for its own last
 * step. All pointers are byte offsets into the memory given; `runs` is a positive multiple of eight. A draw is `table[u >>> shift] * scale`, u from xoshiro128+:
 * run r takes the draw r / 8 of stream r mod 8. At `state` are the words 0 of the first four streams, then the words 1, 2 and 3; then those of the other
 * four; they are left as they stand after the last draw, so that a stream goes on where it ended.
 */
export interface SimdDraws {
  /** `out[r] = draw`. */
  draw(state: number, table: number, shift: number, scale: number, out: number, runs: number): void;
  /** `arrive = max(ready[r], free[r]); leave[r] = arrive; ready[r] = arrive + draw`: one unit goes on to a station (definitions §5). */
  advance(state: number, table: number, shift: number, scale: number, ready: number, free: number, leave: number, runs: number): void;
}

/** Streams side by side. */
export const STREAMS = 8;

/** The four words and the output of four streams. */
interface Generator { s0: number; s1: number; s2: number; s3: number; bits: number }

/** Locals behind the parameters: two generators, what both look up, and what is at hand. */
interface Locals { generators: [Generator, Generator]; base: number; scale: number; held: number }

const VECTORS = 13;

function localsFrom(first: number): Locals {
  const generator = (from: number): Generator => ({ s0: from, s1: from + 1, s2: from + 2, s3: from + 3, bits: from + 4 });
  return { generators: [generator(first), generator(first + 5)], base: first + 10, scale: first + 11, held: first + 12 };
}

function rotate(by: number, local: number): number[] {
  return [...get(local), ...i32Const(by), ...I32X4.shl, ...get(local), ...i32Const(32 - by), ...I32X4.shr, ...V128.or];
}

/** Loads the state, and spreads the table's address and the scale over the lanes. Parameters: state 0, table 1, shift 2, scale 3. */
function prepare({ generators, base, scale }: Locals): number[] {
  const words = generators.flatMap(({ s0, s1, s2, s3 }, g) => [s0, s1, s2, s3].flatMap((local, i) => [...get(0), ...load(64 * g + 16 * i), ...set(local)]));
  return [...words, ...get(1), ...I32X4.splat, ...set(base), ...get(3), ...F64X2.splat, ...set(scale)];
}

function keepState({ generators }: Locals): number[] {
  return generators.flatMap(({ s0, s1, s2, s3 }, g) => [s0, s1, s2, s3].flatMap((local, i) => [...get(0), ...get(local), ...store(64 * g + 16 * i)]));
}

/** The next output of four streams, as addresses of table entries in `bits`. */
function drawAddresses({ s0, s1, s2, s3, bits }: Generator, { base, held }: Locals): number[] {
  const assignXor = (to: number, from: number): number[] => [...get(to), ...get(from), ...V128.xor, ...set(to)];
  return [
    ...get(s0), ...get(s3), ...I32X4.add,
    ...get(2), ...I32X4.shr, ...i32Const(3), ...I32X4.shl, ...get(base), ...I32X4.add, ...set(bits),
    ...get(s1), ...i32Const(9), ...I32X4.shl, ...set(held),
    ...assignXor(s2, s0), ...assignXor(s3, s1), ...assignXor(s1, s2), ...assignXor(s0, s3), ...assignXor(s2, held),
    ...rotate(11, s3), ...set(s3),
  ];
}

/** The draws of two neighbouring lanes, scaled. */
function drawn({ bits }: Generator, { scale }: Locals, lane: number): number[] {
  const address = (of: number): number[] => [...get(bits), ...i32x4Lane(of)];
  return [...address(lane + 1), ...address(lane), ...loadLow(), ...loadHigh(), ...get(scale), ...F64X2.mul];
}

const forward = (pointer: number): number[] => [...get(pointer), ...i32Const(8 * STREAMS), ...I32_ADD, ...set(pointer)];
const eightLess = (runs: number): number[] => [...get(runs), ...i32Const(-STREAMS), ...I32_ADD, ...tee(runs)];

/** The body of a loop: eight addresses, then `pair` for each two neighbouring runs, told its generator, lane and byte offset. */
function eightRuns(l: Locals, pair: (generator: Generator, lane: number, offset: number) => number[]): number[] {
  const [first, second] = l.generators;
  return [...drawAddresses(first, l), ...drawAddresses(second, l), ...pair(first, 0, 0), ...pair(first, 2, 16), ...pair(second, 0, 32), ...pair(second, 2, 48)];
}

function drawFunction(): WasmFunction {
  const [out, runs] = [4, 5];
  const l = localsFrom(6);
  const body = [...eightRuns(l, (generator, lane, offset) => [...get(out), ...drawn(generator, l, lane), ...store(offset)]), ...forward(out), ...eightLess(runs)];
  return { name: 'draw', parameters: [VALUE.i32, VALUE.i32, VALUE.i32, VALUE.f64, VALUE.i32, VALUE.i32], vectors: VECTORS, body: [...prepare(l), ...repeatWhile(body), ...keepState(l)] };
}

function advanceFunction(): WasmFunction {
  const [ready, free, leave, runs] = [4, 5, 6, 7];
  const l = localsFrom(8);
  const pair = (generator: Generator, lane: number, offset: number): number[] => [
    ...get(ready), ...load(offset), ...get(free), ...load(offset), ...F64X2.max, ...set(l.held),
    ...get(leave), ...get(l.held), ...store(offset),
    ...get(ready), ...drawn(generator, l, lane), ...get(l.held), ...F64X2.add, ...store(offset),
  ];
  const body = [...eightRuns(l, pair), ...[ready, free, leave].flatMap(forward), ...eightLess(runs)];
  const parameters = [VALUE.i32, VALUE.i32, VALUE.i32, VALUE.f64, VALUE.i32, VALUE.i32, VALUE.i32, VALUE.i32];
  return { name: 'advance', parameters, vectors: VECTORS, body: [...prepare(l), ...repeatWhile(body), ...keepState(l)] };
}

let compiled: WebAssembly.Module | null = null;

/** The loops over `memory`. Needs WebAssembly with 128-bit SIMD (every engine since 2023). */
export function simdDraws(memory: WebAssembly.Memory): SimdDraws {
  compiled ??= new WebAssembly.Module(wasmModule([drawFunction(), advanceFunction()]));
  return new WebAssembly.Instance(compiled, { env: { memory } }).exports as unknown as SimdDraws;
}
