import type { Minutes } from '../../server/core/units.ts';

export interface PathPlace {
  code: string;
  /** Where it stands in the building, such as hall and floor: a new one begins a new row. */
  area: string;
  minutes: Minutes;
  lanes: number;
}

export interface PlacedBox {
  code: string;
  x: number;
  y: number;
  width: number;
  height: number;
  /** Whether units pass it from right to left, as in every second row of the path. */
  leftward: boolean;
  row: number;
}

export interface PathLayout {
  boxes: PlacedBox[];
  rows: { area: string; y: number; height: number; leftward: boolean }[];
  height: number;
}

export interface PathMeasures {
  width: number;
  /** Least width of a place: its words must fit. */
  least: number;
  lane: number;
  /** Height of the words over the lanes of a place, and of the area's name over a row. */
  head: number;
  gap: number;
}

/**
 * Lays a line's places as a path that turns at each row's end. Within a row a place is as long as its standard
 * minutes, though never under `least`. Lengths are pixels.
 */
export function layOutPath(places: readonly PathPlace[], measures: PathMeasures): PathLayout {
  const perRow = Math.max(1, Math.floor(measures.width / measures.least));
  const layout: PathLayout = { boxes: [], rows: [], height: 0 };
  for (const row of rowsOf(places, perRow)) {
    const leftward = layout.rows.length % 2 === 1;
    const lanes = Math.max(...row.map((place) => place.lanes));
    const y = layout.height + measures.head;
    const height = measures.head + lanes * measures.lane;
    let along = 0;
    for (const [index, width] of widthsOf(row, measures).entries()) {
      const x = leftward ? measures.width - along - width : along;
      layout.boxes.push({ code: row[index]?.code ?? '', x, y, width, height, leftward, row: layout.rows.length });
      along += width;
    }
    layout.rows.push({ area: row[0]?.area ?? '', y, height, leftward });
    layout.height = y + height + measures.gap;
  }
  return layout;
}

/** Rows in the order of the path, each within one area and as even as the width allows. */
function rowsOf(places: readonly PathPlace[], perRow: number): PathPlace[][] {
  const stretches: PathPlace[][] = [];
  for (const place of places) {
    const last = stretches.at(-1);
    if (last && last[0]?.area === place.area) last.push(place);
    else stretches.push([place]);
  }
  return stretches.flatMap((stretch) => {
    const rows = Math.ceil(stretch.length / perRow);
    const each = Math.ceil(stretch.length / rows);
    return Array.from({ length: rows }, (_, row) => stretch.slice(row * each, (row + 1) * each)).filter((row) => row.length > 0);
  });
}

/** Widths that fill the row: the least for each, what is left by minutes. */
function widthsOf(row: readonly PathPlace[], measures: PathMeasures): number[] {
  const least = Math.min(measures.least, measures.width / row.length);
  const spare = measures.width - least * row.length;
  const total = row.reduce((sum, place) => sum + place.minutes, 0);
  return row.map((place) => least + spare * (total > 0 ? place.minutes / total : 1 / row.length));
}
