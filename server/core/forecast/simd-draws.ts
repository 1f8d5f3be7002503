import { F64X2, get, I32_ADD, i32Const, i32x4Lane, I32X4, load, loadHigh, loadLow, repeatWhile, set, store, tee, V128, VALUE, type WasmFunction, wasmModule } from './wasm-code.ts';

/**
 * The innermost loops of the forecast, four runs at a time. All pointers are byte offsets into the memory given; `runs` is a positive multiple of four.
 * A draw is `table[u >>> shift] * scale`, u from xoshiro128++: run r takes the draw r / 4 of stream r mod 4. The sixteen words at `state` are the words
 * 0 of the four streams, then the words 1, 2 and 3. They are read only.
 */
export interface SimdDraws {
  /** `out[r] = draw`. */
  draw(state: number, table: number, shift: number, scale: number, out: number, runs: number): void;
  /** `arrive = max(ready[r], free[r]); leave[r] = arrive; ready[r] = arrive + draw`: one unit goes on to a station (definitions §5). */
  advance(state: number, table: number, shift: number, scale: number, ready: number, free: number, leave: number, runs: number): void;
}

/** Locals of the generator and of the table look-up, from `first` on. */
interface Locals { s0: number; s1: number; s2: number; s3: number; bits: number; base: number; scale: number; arrive: number }

function localsFrom(first: number): Locals {
  return { s0: first, s1: first + 1, s2: first + 2, s3: first + 3, bits: first + 4, base: first + 5, scale: first + 6, arrive: first + 7 };
}

function rotate(by: number, local: number): number[] {
  return [...get(local), ...i32Const(by), ...I32X4.shl, ...get(local), ...i32Const(32 - by), ...I32X4.shr, ...V128.or];
}

/** Loads the state, and spreads the table's address and the scale over the lanes. Parameters: state 0, table 1, shift 2, scale 3. */
function prepare(l: Locals): number[] {
  const words = [l.s0, l.s1, l.s2, l.s3].flatMap((local, i) => [...get(0), ...load(16 * i), ...set(local)]);
  return [...words, ...get(1), ...I32X4.splat, ...set(l.base), ...get(3), ...F64X2.splat, ...set(l.scale)];
}

/** The next four outputs of xoshiro128++, as addresses of table entries in `bits`. */
function drawAddresses(l: Locals): number[] {
  const assignXor = (to: number, from: number): number[] => [...get(to), ...get(from), ...V128.xor, ...set(to)];
  return [
    ...get(l.s0), ...get(l.s3), ...I32X4.add, ...set(l.bits), ...rotate(7, l.bits), ...get(l.s0), ...I32X4.add,
    ...get(2), ...I32X4.shr, ...i32Const(3), ...I32X4.shl, ...get(l.base), ...I32X4.add, ...set(l.bits),
    ...get(l.s1), ...i32Const(9), ...I32X4.shl, ...set(l.arrive),
    ...assignXor(l.s2, l.s0), ...assignXor(l.s3, l.s1), ...assignXor(l.s1, l.s2), ...assignXor(l.s0, l.s3), ...assignXor(l.s2, l.arrive),
    ...rotate(11, l.s3), ...set(l.s3),
  ];
}

/** The draws of two neighbouring lanes, scaled. */
function drawn(l: Locals, lane: number): number[] {
  const address = (of: number): number[] => [...get(l.bits), ...i32x4Lane(of)];
  return [...address(lane + 1), ...address(lane), ...loadLow(), ...loadHigh(), ...get(l.scale), ...F64X2.mul];
}

const forward = (pointer: number): number[] => [...get(pointer), ...i32Const(32), ...I32_ADD, ...set(pointer)];
const fourLess = (runs: number): number[] => [...get(runs), ...i32Const(-4), ...I32_ADD, ...tee(runs)];

function drawFunction(): WasmFunction {
  const [out, runs] = [4, 5];
  const l = localsFrom(6);
  const body = [...drawAddresses(l), ...[0, 2].flatMap((lane) => [...get(out), ...drawn(l, lane), ...store(8 * lane)]), ...forward(out), ...fourLess(runs)];
  return { name: 'draw', parameters: [VALUE.i32, VALUE.i32, VALUE.i32, VALUE.f64, VALUE.i32, VALUE.i32], vectors: 8, body: [...prepare(l), ...repeatWhile(body)] };
}

function advanceFunction(): WasmFunction {
  const [ready, free, leave, runs] = [4, 5, 6, 7];
  const l = localsFrom(8);
  const pair = (lane: number): number[] => [
    ...get(ready), ...load(8 * lane), ...get(free), ...load(8 * lane), ...F64X2.max, ...set(l.arrive),
    ...get(leave), ...get(l.arrive), ...store(8 * lane),
    ...get(ready), ...drawn(l, lane), ...get(l.arrive), ...F64X2.add, ...store(8 * lane),
  ];
  const body = [...drawAddresses(l), ...pair(0), ...pair(2), ...[ready, free, leave].flatMap(forward), ...fourLess(runs)];
  const parameters = [VALUE.i32, VALUE.i32, VALUE.i32, VALUE.f64, VALUE.i32, VALUE.i32, VALUE.i32, VALUE.i32];
  return { name: 'advance', parameters, vectors: 8, body: [...prepare(l), ...repeatWhile(body)] };
}

let compiled: WebAssembly.Module | null = null;

/** The loops over `memory`. Needs WebAssembly with 128-bit SIMD (every engine since 2023). */
export function simdDraws(memory: WebAssembly.Memory): SimdDraws {
  compiled ??= new WebAssembly.Module(wasmModule([drawFunction(), advanceFunction()]));
  return new WebAssembly.Instance(compiled, { env: { memory } }).exports as unknown as SimdDraws;
}
