import type { Minutes } from '../../server/core/units.ts';

export interface PathPlace {
  code: string;
  minutes: Minutes;
  units: number;
  /** Units side by side that a bay or yard place asks room for; 1 on a line, where units stand one below the other. */
  columns: number;
  /** Whether a unit's state is written below its serial, and how many of the place's own below all units. */
  marked: boolean;
  feet: number;
}

/** Places of one line, or bays and yard places (`line` false), in one area of the building such as a hall. */
export interface PathStretch {
  title: string;
  area: string;
  line: boolean;
  /** Whether units come to it from the stretch before. */
  joins: boolean;
  places: PathPlace[];
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
  columns: number;
}

export interface PlacedRow {
  /** Of the stretch that begins in this row, else ''. */
  title: string;
  titleY: number;
  /** Top of its places, and their height. */
  y: number;
  height: number;
  leftward: boolean;
  /** Where the path runs, or null in a row of bays and yard places alone. */
  track: { y: number; from: number; to: number } | null;
  lane: number;
  /** Whether the path comes to it from the row before. */
  joins: boolean;
}

export interface PathLayout {
  boxes: PlacedBox[];
  rows: PlacedRow[];
  areas: { name: string; y: number; height: number; nameY: number }[];
  height: number;
}

export interface PathMeasures {
  width: number;
  /** Size of the writing; every other length follows from it. */
  type: number;
  /** Characters of the longest serial: it must fit its place. */
  characters: number;
  /** Code of the place at which the plan's mark stands: its row gets room for what the mark says. */
  mark: string | null;
}

interface Row {
  area: string;
  title: string;
  joins: boolean;
  line: PathPlace[];
  beside: PathPlace[];
}

/** Lengths in units of the writing's size. A figure is 0.64 wide in the widest of the page's typefaces. */
export const LABEL = 1.35;
export const HEAD = 1.35;
export const TURN = 1;
const LANE = { plain: 3.35, marked: 4.45 };
export const FOOT = 1.2;
const PAD = 0.35;

export const leastWidth = (type: number, characters: number): number => type * Math.max(7, characters * 0.64 + 0.9);

/**
 * Lays out the plant: areas below each other, in each the rows of a path that turns at their ends. Within a row a place is as long as its
 * standard minutes, though never too short for its words; bays stand at the end of their hall's last row when there is room. Lengths are pixels.
 */
export function layOutPath(stretches: readonly PathStretch[], measures: PathMeasures): PathLayout {
  const { type, width } = measures;
  const least = leastWidth(type, measures.characters);
  const room = width - 2 * TURN * type;
  const perRow = Math.max(1, Math.floor(room / least));
  const layout: PathLayout = { boxes: [], rows: [], areas: [], height: 0 };
  for (const row of rowsOf(stretches, perRow)) {
    const area = layout.areas.at(-1);
    if (area?.name !== row.area || layout.rows.length === 0) beginArea(layout, row, measures);
    placeRow(layout, row, measures, Math.min(least, room / (row.line.length + row.beside.length)));
    const open = layout.areas.at(-1)!;
    open.height = layout.height - open.y;
  }
  return layout;
}

/** The largest of `sizes` (largest first) at which the layout is no higher than `height`; the smallest when none is. */
export function typeThatFits(stretches: readonly PathStretch[], measures: Omit<PathMeasures, 'type'>, height: number, sizes: readonly number[]): number {
  return sizes.find((type) => layOutPath(stretches, { ...measures, type }).height <= height) ?? sizes.at(-1)!;
}

function beginArea(layout: PathLayout, row: Row, { type, width }: PathMeasures): void {
  const y = layout.height + (layout.rows.length === 0 ? 0 : type * 0.5);
  const together = (row.area.length + row.title.length + 4) * 0.64 * type <= width - 2 * type;
  // Name and title share a line where both fit on it.
  layout.areas.push({ name: row.area, y, height: 0, nameY: y + type * (LABEL - 0.3) });
  layout.height = y + (together ? 0 : type * LABEL);
}

function placeRow(layout: PathLayout, row: Row, { width, type, mark }: PathMeasures, least: number): void {
  const index = layout.rows.length;
  const titleY = layout.height + type * (LABEL - 0.3);
  const leftward = row.line.length > 0 && layout.rows.filter((before) => before.track !== null).length % 2 === 1;
  const widths = widthsOf(row, width - 2 * TURN * type, least);
  const marked = row.line.length > 0 || row.beside.some((place) => place.marked);
  const lane = type * (marked ? LANE.marked : LANE.plain);
  const places = [...row.line, ...row.beside];
  const columnsOf = (place: PathPlace, at: number): number => (at < row.line.length ? 1 : Math.max(1, Math.floor(widths[at]! / least + 1e-9)));
  const lanes = Math.max(...places.map((place, at) => Math.max(1, Math.ceil(place.units / columnsOf(place, at))) * lane + place.feet * FOOT * type));
  const labels = places.some((place) => place.code === mark) ? 2 : 1;
  const y = layout.height + labels * LABEL * type;
  const height = HEAD * type + lanes;
  let along = TURN * type;
  for (const [at, place] of places.entries()) {
    const wide = widths[at]!;
    layout.boxes.push({ code: place.code, x: leftward ? width - along - wide : along, y, width: wide, height, leftward, row: index, columns: columnsOf(place, at) });
    along += wide;
  }
  const end = TURN * type + widths.slice(0, row.line.length).reduce((sum, one) => sum + one, 0);
  const [from, to] = leftward ? [width - TURN * type, width - end] : [TURN * type, end];
  const track = row.line.length > 0 ? { y: y + type * (HEAD + 2.05), from, to } : null;
  layout.rows.push({ title: row.title, titleY, y, height, leftward, track, lane, joins: row.joins });
  layout.height = y + height + PAD * type;
}

/** Rows in the order of the path, each within one area and as even as the width allows; bays at the end of the last where they fit. */
function rowsOf(stretches: readonly PathStretch[], perRow: number): Row[] {
  const rows: Row[] = [];
  for (const { area, title, line, joins, places } of stretches) {
    const last = rows.at(-1);
    const wanted = places.reduce((sum, place) => sum + place.columns, 0);
    if (!line && last?.area === area && last.beside.length === 0 && last.line.length + wanted <= perRow) {
      last.beside.push(...places);
      continue;
    }
    const count = Math.ceil(places.length / perRow);
    const each = Math.ceil(places.length / count);
    for (let row = 0; row < count; row++) {
      const part = places.slice(row * each, (row + 1) * each);
      if (part.length > 0) rows.push({ area, title: row === 0 ? title : '', joins: row > 0 || joins, line: line ? part : [], beside: line ? [] : part });
    }
  }
  return rows;
}

/** Widths of a row's places that fill it: bays beside a line take what they ask for, the line's own share the rest by their minutes. */
function widthsOf(row: Row, room: number, least: number): number[] {
  if (row.line.length === 0) return shared(row.beside.map((place) => place.columns), room, least);
  const beside = row.beside.map((place) => place.columns * least);
  const left = room - beside.reduce((sum, one) => sum + one, 0);
  return [...shared(row.line.map((place) => place.minutes), left, least), ...beside];
}

/** `room` shared in proportion to `weights`, but none below `least`. */
function shared(weights: readonly number[], room: number, least: number): number[] {
  const small = new Set<number>();
  for (;;) {
    const left = room - small.size * least;
    const sum = weights.reduce((total, weight, at) => total + (small.has(at) ? 0 : weight), 0);
    const of = (at: number): number => (sum > 0 ? (weights[at]! / sum) * left : left / (weights.length - small.size));
    const under = weights.flatMap((_, at) => (!small.has(at) && of(at) < least - 1e-9 ? [at] : []));
    if (under.length === 0) return weights.map((_, at) => (small.has(at) ? least : of(at)));
    for (const at of under) small.add(at);
  }
}
