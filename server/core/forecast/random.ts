/**
 * Chance, made from a seed: xoshiro128+ (Blackman and Vigna, https://prng.di.unimi.it/xoshiro128plus.c). Its lowest bits are weak, and nothing here
 * hangs on them: a draw takes the highest bits for its place in a table. Each unit at each station has a
 * stream of its own, so that a changed sequence or set-up leaves the draws of every other unit and station as they were.
 */

/** What a stream of draws is for. Draws of one unit at one station for different purposes are independent. */
export const PURPOSE = { work: 1, holds: 2, stops: 3, shorts: 4, openHold: 5, mending: 6, stage: 7, needed: 8 } as const;

/** The 32-bit finalizer of MurmurHash3: a bijection in which every input bit moves every output bit. */
export function mix(value: number): number {
  let z = value | 0;
  z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
  z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
  return (z ^ (z >>> 16)) >>> 0;
}

/** FNV-1a over the text's UTF-16 code units, from a basis that may be chosen. */
export function hashText(text: string, basis = 0x811c9dc5): number {
  let hash = basis;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return mix(hash);
}

/** The two halves of the 64-bit key of what is drawn for `unit` at `place`. */
export function streamKey(unit: string, place: string): [number, number] {
  const low = mix(hashText(unit) ^ Math.imul(hashText(place), 0x9e3779b1));
  const high = mix(hashText(unit, 0x1b873593) ^ Math.imul(hashText(place, 0x38b34ae5), 0x85ebca77));
  return [low, high];
}

/**
 * Fills `state` (4 words for each of its streams) for one stream key, purpose and part of the runs. All zero, the one state that xoshiro must
 * not have, is made another.
 */
export function seedState(state: Uint32Array, seed: number, low: number, high: number, purpose: number, part: number): void {
  let a = mix(low ^ mix(seed ^ Math.imul(purpose, 0x9e3779b9)));
  let b = mix(high ^ mix(part + Math.imul(seed, 0x85ebca6b)));
  for (let i = 0; i < state.length; i++) {
    a = (a + 0x9e3779b9) | 0;
    b = (b + 0x7f4a7c15) | 0;
    state[i] = mix(a) + Math.imul(mix(b), 0x2545f491);
  }
  if ((state[0]! | state[1]! | state[2]! | state[3]!) === 0) state[0] = 1;
}

/** The next 32 bits of the stream whose state is the first four words. The highest are the best. */
export function nextBits(state: Uint32Array): number {
  const s0 = state[0]!;
  const s1 = state[1]!;
  const s3 = state[3]!;
  const s2 = state[2]! ^ s0;
  const t3 = s3 ^ s1;
  state[1] = s1 ^ s2;
  state[0] = s0 ^ t3;
  state[2] = s2 ^ (s1 << 9);
  state[3] = (t3 << 11) | (t3 >>> 21);
  return (s0 + s3) >>> 0;
}

/** Uniform in (0, 1], so that its logarithm is finite. */
export function nextUniform(state: Uint32Array): number {
  return (nextBits(state) + 1) / 4_294_967_296;
}
