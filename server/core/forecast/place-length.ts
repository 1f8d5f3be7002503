import { BLOCK, vectorAfter } from './run-memory.ts';

/**
 * When a place measured by length is free for one more unit (definitions §5): as soon as what still stands there leaves room. `leaves` are in falling
 * order with the units' `lengths` beside them; the first leave, from the latest on, at which all that leave then or later would not fit beside the unit.
 */
export function freeByLength(doubles: Float64Array, to: number, leaves: number, lengths: number, kept: number, length: number, placeLength: number): void {
  for (let r = 0; r < BLOCK; r++) {
    let standing = length;
    let free = 0;
    for (let slot = 0; slot < kept; slot++) {
      standing += doubles[vectorAfter(lengths, slot) + r]!;
      if (standing <= placeLength) continue;
      free = doubles[vectorAfter(leaves, slot) + r]!;
      break;
    }
    doubles[to + r] = free;
  }
}

/** Puts a leave and its unit's length among the `kept` latest. */
export function insertWithLength(doubles: Float64Array, leaves: number, lengths: number, kept: number, leave: number, length: number): void {
  for (let r = 0; r < BLOCK; r++) {
    let value = doubles[leave + r]!;
    let size = length;
    for (let slot = 0; slot < kept; slot++) {
      const at = vectorAfter(leaves, slot) + r;
      const beside = vectorAfter(lengths, slot) + r;
      const [held, heldSize] = [doubles[at]!, doubles[beside]!];
      // An empty slot has no length; a unit that leaves now takes it all the same.
      if (value < held || (value === held && heldSize > 0)) continue;
      doubles[at] = value;
      doubles[beside] = size;
      if (heldSize === 0) break;
      value = held;
      size = heldSize;
    }
  }
}
