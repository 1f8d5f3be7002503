import { addWork, wallAfter } from './calendar-table.ts';
import { scatter } from './plain-runs.ts';
import { seedState } from './random.ts';
import { BLOCK, type RunMemory, vectorAfter } from './run-memory.ts';
import type { Runs, Stream } from './runs.ts';

/** Beside every number of the memory, the stations and stages on its critical path: place 0 to 31 in `low`, 32 to 63 in `high`. */
export interface Paths {
  low: Int32Array;
  high: Int32Array;
}

export function createPaths({ doubles }: RunMemory): Paths {
  return { low: new Int32Array(doubles.length), high: new Int32Array(doubles.length) };
}

/** Adds a place to the path of one number; -1 adds none. */
export function mark({ low, high }: Paths, at: number, place: number): void {
  if (place >= 32) high[at] = high[at]! | (1 << (place - 32));
  else if (place >= 0) low[at] = low[at]! | (1 << place);
}

/**
 * The same arithmetic as the plain runs on the same draws, with the critical path of each number: the later of two brings its path along (the first of two equal
 * ones stays), and a station is put on it when minutes pass there. `plain` draws.
 */
export function createTracedRuns({ doubles, tables, drawn }: RunMemory, paths: Paths, plain: Runs, seed: number): Runs {
  const { low, high } = paths;
  const rare = new Uint32Array(4);
  let part = 0;
  const take = (to: number, from: number): void => {
    doubles[to] = doubles[from]!;
    low[to] = low[from]!;
    high[to] = high[from]!;
  };
  /** Minutes that pass at a place; without a place, what the minutes themselves hang on. */
  const passed = (to: number, minutes: number, place: number): void => {
    if (doubles[minutes]! > 0) mark(paths, to, place);
    if (place >= 0) return;
    low[to] = low[to]! | low[minutes]!;
    high[to] = high[to]! | high[minutes]!;
  };
  const forget = (to: number): void => {
    low.fill(0, to, to + BLOCK);
    high.fill(0, to, to + BLOCK);
  };
  return {
    ...createTracedLeaves(doubles, paths),
    begin(next) {
      part = next;
      plain.begin(next);
    },
    fill(to, value) {
      plain.fill(to, value);
      forget(to);
    },
    copy(to, from) {
      for (let r = 0; r < BLOCK; r++) take(to + r, from + r);
    },
    laterOf(to, from) {
      for (let r = 0; r < BLOCK; r++) if (doubles[from + r]! > doubles[to + r]!) take(to + r, from + r);
    },
    draw(to, stream) {
      plain.draw(to, stream);
      forget(to);
    },
    advance(ready, free, leave, stream, place) {
      plain.draw(drawn, stream);
      for (let r = 0; r < BLOCK; r++) {
        if (doubles[free + r]! > doubles[ready + r]!) take(ready + r, free + r);
        take(leave + r, ready + r);
        passed(ready + r, drawn + r, place);
        doubles[ready + r] = doubles[ready + r]! + doubles[drawn + r]!;
      }
    },
    add(to, minutes, place) {
      for (let r = 0; r < BLOCK; r++) {
        passed(to + r, minutes + r, place);
        doubles[to + r] = doubles[to + r]! + doubles[minutes + r]!;
      }
    },
    addOnCalendar(to, minutes, calendar, place) {
      for (let r = 0; r < BLOCK; r++) {
        passed(to + r, minutes + r, place);
        doubles[to + r] = addWork(calendar, doubles[to + r]!, doubles[minutes + r]!);
      }
    },
    toWall(to, calendar) {
      for (let r = 0; r < BLOCK; r++) doubles[to + r] = wallAfter(calendar, doubles[to + r]!);
    },
    happen(to, stream: Stream, mean, once, place) {
      seedState(rare, seed, stream.low, stream.high, stream.purpose, part);
      scatter(doubles, to, tables + stream.table, stream, mean, once, rare, (r) => mark(paths, to + r, place));
    },
  };
}

/** The latest leaves of a station with the paths that they came by. */
function createTracedLeaves(doubles: Float64Array, { low, high }: Paths): Pick<Runs, 'insert' | 'insertWithLength' | 'freeByLength'> {
  const exchange = (of: Float64Array | Int32Array, at: number, value: number): number => {
    const held = of[at]!;
    of[at] = value;
    return held;
  };
  return {
    insert(leaves, kept, leave) {
      for (let r = 0; r < BLOCK; r++) {
        let [value, valueLow, valueHigh] = [doubles[leave + r]!, low[leave + r]!, high[leave + r]!];
        for (let slot = 0, at = leaves + r; slot < kept; slot++, at = vectorAfter(at, 1)) {
          if (value <= doubles[at]!) continue;
          value = exchange(doubles, at, value);
          valueLow = exchange(low, at, valueLow);
          valueHigh = exchange(high, at, valueHigh);
        }
      }
    },
    insertWithLength(leaves, lengths, kept, leave, length) {
      for (let r = 0; r < BLOCK; r++) {
        let [value, valueLow, valueHigh, size] = [doubles[leave + r]!, low[leave + r]!, high[leave + r]!, length];
        for (let slot = 0; slot < kept && size > 0; slot++) {
          const at = vectorAfter(leaves, slot) + r;
          const beside = vectorAfter(lengths, slot) + r;
          if (value < doubles[at]! || (value === doubles[at] && doubles[beside]! > 0)) continue;
          value = exchange(doubles, at, value);
          valueLow = exchange(low, at, valueLow);
          valueHigh = exchange(high, at, valueHigh);
          size = exchange(doubles, beside, size);
        }
      }
    },
    freeByLength(to, leaves, lengths, kept, length, placeLength) {
      for (let r = 0; r < BLOCK; r++) {
        let standing = length;
        let from = -1;
        for (let slot = 0; slot < kept && from < 0; slot++) {
          standing += doubles[vectorAfter(lengths, slot) + r]!;
          if (standing > placeLength) from = vectorAfter(leaves, slot) + r;
        }
        doubles[to + r] = from < 0 ? 0 : doubles[from]!;
        low[to + r] = from < 0 ? 0 : low[from]!;
        high[to + r] = from < 0 ? 0 : high[from]!;
      }
    },
  };
}
