import { addWork, wallAfter } from './calendar-table.ts';
import { freeByLength, insertWithLength } from './place-length.ts';
import { nextBits, nextUniform, seedState } from './random.ts';
import { BLOCK, byteOf, type RunMemory, vectorAfter } from './run-memory.ts';
import type { Runs, Stream } from './runs.ts';
import { simdDraws } from './simd-draws.ts';

/** Runs without anything besides the times themselves. Nothing is allocated after this call. */
export function createPlainRuns({ memory, doubles, state, tables }: RunMemory, seed: number): Runs {
  const simd = simdDraws(memory);
  const rare = new Uint32Array(4);
  let part = 0;
  /** The byte of the stream's state. */
  const stateOf = ({ kept, low, high, purpose }: Stream): number => {
    if (kept === 0) seedState(state, seed, low, high, purpose, part);
    return byteOf(kept);
  };
  return {
    begin: (next) => void (part = next),
    fill: (to, value) => void doubles.fill(value, to, to + BLOCK),
    copy: (to, from) => void doubles.copyWithin(to, from, from + BLOCK),
    laterOf(to, from) {
      for (let r = 0; r < BLOCK; r++) if (doubles[from + r]! > doubles[to + r]!) doubles[to + r] = doubles[from + r]!;
    },
    draw(to, stream) {
      simd.draw(stateOf(stream), byteOf(tables + stream.table), stream.shift, stream.scale, byteOf(to), BLOCK);
    },
    advance(ready, free, leave, stream) {
      simd.advance(stateOf(stream), byteOf(tables + stream.table), stream.shift, stream.scale, byteOf(ready), byteOf(free), byteOf(leave), BLOCK);
    },
    add(to, minutes) {
      for (let r = 0; r < BLOCK; r++) doubles[to + r] = doubles[to + r]! + doubles[minutes + r]!;
    },
    addOnCalendar(to, minutes, calendar) {
      for (let r = 0; r < BLOCK; r++) doubles[to + r] = addWork(calendar, doubles[to + r]!, doubles[minutes + r]!);
    },
    toWall(to, calendar) {
      for (let r = 0; r < BLOCK; r++) doubles[to + r] = wallAfter(calendar, doubles[to + r]!);
    },
    happen(to, stream, mean, once) {
      seedState(rare, seed, stream.low, stream.high, stream.purpose, part);
      scatter(doubles, to, tables + stream.table, stream, mean, once, rare);
    },
    insert(leaves, kept, leave) {
      for (let r = 0; r < BLOCK; r++) {
        let value = doubles[leave + r]!;
        for (let slot = 0, at = leaves + r; slot < kept; slot++, at = vectorAfter(at, 1)) {
          const held = doubles[at]!;
          if (value <= held) continue;
          doubles[at] = value;
          value = held;
        }
      }
    },
    insertWithLength: (leaves, lengths, kept, leave, length) => insertWithLength(doubles, leaves, lengths, kept, leave, length),
    freeByLength: (to, leaves, lengths, kept, length, placeLength) => freeByLength(doubles, to, leaves, lengths, kept, length, placeLength),
  };
}

/**
 * Events of a Poisson process of `mean` events a run, laid along the runs one after the other, so that the work grows with the events and not with the
 * runs. With `once` only the first event of a run counts. `touched` is told the runs that got minutes.
 */
export function scatter(
  doubles: Float64Array, to: number, table: number, { shift, scale }: Stream, mean: number, once: boolean, state: Uint32Array, touched?: (r: number) => void,
): void {
  let last = -1;
  for (let at = -Math.log(nextUniform(state)) / mean; at < BLOCK; at -= Math.log(nextUniform(state)) / mean) {
    const r = Math.floor(at);
    const minutes = doubles[table + (nextBits(state) >>> shift)]! * scale;
    if (once && r === last) continue;
    doubles[to + r] = doubles[to + r]! + minutes;
    last = r;
    touched?.(r);
  }
}
