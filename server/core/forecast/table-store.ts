import type { Draws } from './compiled-line.ts';
import { type DrawTable, tableBits } from './draw-table.ts';

/** Puts tables into one array, each only once. */
export interface TableStore {
  draws(tables: readonly DrawTable[]): Draws;
  all(): Float64Array;
}

export function createTableStore(): TableStore {
  const places = new Map<DrawTable, number>();
  let size = 0;
  const placeOf = (table: DrawTable): number => {
    const known = places.get(table);
    if (known !== undefined) return known;
    places.set(table, size);
    size += table.length;
    return size - table.length;
  };
  return {
    draws: (tables) => ({ table: Int32Array.from(tables, placeOf), shift: Uint8Array.from(tables, (table) => 32 - tableBits(table)) }),
    all() {
      const all = new Float64Array(size);
      for (const [table, place] of places) all.set(table, place);
      return all;
    },
  };
}
