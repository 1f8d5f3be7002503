/** Bytes of a WebAssembly module, put together by name of instruction (WebAssembly Core Specification 2.0, §5 Binary Format). */

/** Unsigned LEB128. */
export function leb(value: number): number[] {
  const bytes: number[] = [];
  let rest = value >>> 0;
  do {
    const low = rest & 0x7f;
    rest >>>= 7;
    bytes.push(rest === 0 ? low : low | 0x80);
  } while (rest !== 0);
  return bytes;
}

/** Signed LEB128. */
export function signedLeb(value: number): number[] {
  const bytes: number[] = [];
  for (let rest = value | 0; ; ) {
    const low = rest & 0x7f;
    rest >>= 7;
    const last = (rest === 0 && (low & 0x40) === 0) || (rest === -1 && (low & 0x40) !== 0);
    bytes.push(last ? low : low | 0x80);
    if (last) return bytes;
  }
}

export const VALUE = { i32: 0x7f, f64: 0x7c, v128: 0x7b } as const;

const simd = (code: number): number[] => [0xfd, ...leb(code)];
/** Alignment hint 3 (8 bytes), then the offset. */
const at = (offset: number): number[] => [3, ...leb(offset)];

export const get = (local: number): number[] => [0x20, ...leb(local)];
export const set = (local: number): number[] => [0x21, ...leb(local)];
export const tee = (local: number): number[] => [0x22, ...leb(local)];
export const i32Const = (value: number): number[] => [0x41, ...signedLeb(value)];
export const I32_ADD = [0x6a];
/** Repeats `body` for as long as it leaves a non-zero i32. */
export const repeatWhile = (body: number[]): number[] => [0x03, 0x40, ...body, 0x0d, 0x00, 0x0b];

export const load = (offset: number): number[] => [...simd(0x00), ...at(offset)];
export const store = (offset: number): number[] => [...simd(0x0b), ...at(offset)];
/** One double into the low half, zero into the high. */
export const loadLow = (): number[] => [...simd(0x5d), ...at(0)];
/** One double into the high half of the vector on the stack. */
export const loadHigh = (): number[] => [...simd(0x57), ...at(0), 1];
export const i32x4Lane = (lane: number): number[] => [...simd(0x1b), lane];
export const I32X4 = { splat: simd(0x11), shl: simd(0xab), shr: simd(0xad), add: simd(0xae) };
export const F64X2 = { splat: simd(0x14), add: simd(0xf0), mul: simd(0xf2), max: simd(0xf7) };
export const V128 = { or: simd(0x50), xor: simd(0x51) };

export interface WasmFunction {
  name: string;
  parameters: number[];
  /** How many v128 locals follow the parameters. */
  vectors: number;
  body: number[];
}

/** A module that imports `env.memory` and exports `functions`, none of which returns anything. */
export function wasmModule(functions: readonly WasmFunction[]): Uint8Array<ArrayBuffer> {
  const text = (name: string): number[] => [...leb(name.length), ...[...name].map((letter) => letter.charCodeAt(0))];
  const section = (id: number, items: readonly number[][]): number[] => {
    const content = [...leb(items.length), ...items.flat()];
    return [id, ...leb(content.length), ...content];
  };
  const code = functions.map(({ vectors, body }) => {
    const whole = [1, ...leb(vectors), VALUE.v128, ...body, 0x0b];
    return [...leb(whole.length), ...whole];
  });
  return new Uint8Array([
    0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0,
    ...section(1, functions.map(({ parameters }) => [0x60, ...leb(parameters.length), ...parameters, 0])),
    ...section(2, [[...text('env'), ...text('memory'), 2, 0, 0]]),
    ...section(3, functions.map((_, i) => leb(i))),
    ...section(7, functions.map(({ name }, i) => [...text(name), 0, ...leb(i)])),
    ...section(10, code),
  ]);
}
