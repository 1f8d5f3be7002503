import type { CompiledLine } from './compiled-line.ts';
import { STREAMS } from './simd-draws.ts';

/** Runs that are worked at a time. Always whole blocks, so that the draws of run r do not depend on how many runs there are. */
export const BLOCK = 512;
/** Doubles from one vector to the next: a little more than a block, so that vectors do not all fall on the same cache lines. */
const STRIDE = BLOCK + 8;
export const STATE_WORDS = 4 * STREAMS;
const BYTES = 8;
const PAGE = 65_536;

/** Where everything lies, in doubles from the beginning of the memory. A vector holds one number for each run of a block. */
export interface RunMemory {
  memory: WebAssembly.Memory;
  doubles: Float64Array;
  /** The memory in 32-bit words, two to a double. */
  words: Uint32Array;
  state: Uint32Array;
  tables: number;
  /** Of each step: the state of the stream of its work. */
  streams: Int32Array;
  /** Of each station the vector of its latest leave; the leave before that follows it, and so on. Of one that keeps none: zeros. */
  leaves: Int32Array;
  /** Of each station measured by length: the lengths of the units that left, beside the leaves. */
  lengths: Int32Array;
  /** Of each unit: when it is ready for what comes next. */
  ready: Int32Array;
  /** Of each unit: minutes of mending. */
  mending: Int32Array;
  /** Of each unit: minutes at the stage at hand. */
  service: Int32Array;
  /** Always zero: the free place of a station that nothing limits. */
  zeros: number;
  /** Written and never read. */
  unread: number;
  scratch: number;
  /** Drawn minutes of the one that follows the critical path. */
  drawn: number;
  roll: number;
  lastRoll: number;
}

export function layOut({ tables, stations, units, steps }: CompiledLine): RunMemory {
  let end = STATE_WORDS / 2;
  const take = (doubles: number): number => {
    end += doubles;
    return end - doubles;
  };
  const vectors = (count: number): number => take(count * STRIDE);
  const streams = Int32Array.from(steps.station, () => take(STATE_WORDS / 2));
  const tablesAt = take(tables.length);
  const zeros = vectors(1);
  const leaves = stations.kept.map((kept) => (kept === 0 ? zeros : vectors(kept)));
  const lengths = stations.kept.map((kept, s) => (Number.isNaN(stations.placeLength[s]!) ? zeros : vectors(kept)));
  const ready = Int32Array.from(units.names, () => vectors(1));
  const mending = Int32Array.from(units.names, () => vectors(1));
  const service = Int32Array.from(units.names, () => vectors(1));
  const [unread, scratch, drawn, roll, lastRoll] = [vectors(1), vectors(1), vectors(1), vectors(1), vectors(1)];
  const memory = new WebAssembly.Memory({ initial: Math.ceil((end * BYTES) / PAGE) });
  const doubles = new Float64Array(memory.buffer);
  doubles.set(tables, tablesAt);
  return { memory, doubles, words: new Uint32Array(memory.buffer), state: new Uint32Array(memory.buffer, 0, STATE_WORDS), tables: tablesAt, streams, leaves, lengths, ready, mending, service, zeros, unread, scratch, drawn, roll, lastRoll };
}

/** The vector `n` places after `vector`. */
export function vectorAfter(vector: number, n: number): number {
  return vector + n * STRIDE;
}

/** The byte at which a double lies. */
export function byteOf(double: number): number {
  return double * BYTES;
}
