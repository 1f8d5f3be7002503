/**
 * What is drawn from: 2^bits equally likely values in rising order. A draw is one look-up, so that a forecast costs the same whatever
 * history looks like. Values that are not equally likely take as many entries as their weight asks for.
 */
export type DrawTable = Float64Array;

export const TABLE_BITS = 9;

/** A value that is always the same. Two entries, so that a shift of 31 bits finds one. */
export function constantTable(value: number): DrawTable {
  return Float64Array.of(value, value);
}

/** Bits of a table: log2 of its entries. */
export function tableBits(table: DrawTable): number {
  return 31 - Math.clz32(table.length);
}

/**
 * The table of `values` (not empty) with `weights` (equal when left out): entry i is the smallest value at which the cumulative weight passes
 * (i + 1/2) / 2^bits of the whole.
 */
export function drawTable(values: readonly number[], weights?: readonly number[], bits = TABLE_BITS): DrawTable {
  const order = values.map((_, i) => i).sort((a, b) => values[a]! - values[b]!);
  const total = weights ? weights.reduce((sum, weight) => sum + weight, 0) : values.length;
  const table = new Float64Array(2 ** bits);
  let at = 0;
  let passed = weights ? weights[order[0]!]! : 1;
  for (let i = 0; i < table.length; i++) {
    const wanted = ((i + 0.5) / table.length) * total;
    while (passed < wanted && at < order.length - 1) passed += weights ? weights[order[++at]!]! : (at++, 1);
    table[i] = values[order[at]!]!;
  }
  return table;
}

/**
 * What is left of something that has lasted `elapsed` already, drawn from `durations` of its like that lasted at least as long (definitions §6). Where
 * none did, it is taken to last as far again as it has outlasted the longest of them (common practice, no source).
 */
export function residualTable(durations: readonly number[], elapsed: number, bits = TABLE_BITS): DrawTable {
  const longer = durations.filter((duration) => duration >= elapsed).map((duration) => duration - elapsed);
  if (longer.length > 0) return drawTable(longer, undefined, bits);
  return constantTable(elapsed - Math.max(0, ...durations));
}
