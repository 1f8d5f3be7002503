import { describe, expect, it } from 'vitest';
import { layOutPath } from '../../../kiosk/elements/path-layout.ts';

// Common practice, no source: the rules are those of the board's own design.
const measures = { width: 400, least: 100, lane: 40, head: 20, gap: 10 };
const place = (code: string, minutes: number, area = 'A', lanes = 1) => ({ code, area, minutes, lanes });

describe('layOutPath', () => {
  it('makes a place as long as its minutes, never under the least width', () => {
    const { boxes } = layOutPath([place('1', 30), place('2', 10), place('3', 0)], measures);
    expect(boxes.map((box) => box.width)).toEqual([175, 125, 100]);
    expect(boxes.map((box) => box.x)).toEqual([0, 175, 300]);
  });

  it('turns at the row end, and begins a new row in a new area', () => {
    const { boxes, rows } = layOutPath([place('1', 5), place('2', 5), place('3', 5, 'B', 2), place('4', 5, 'B')], measures);
    expect(rows.map((row) => [row.area, row.leftward, row.height])).toEqual([['A', false, 60], ['B', true, 100]]);
    expect(boxes.map((box) => box.x)).toEqual([0, 200, 200, 0]);
  });

  it('keeps every row within the width and the boxes apart', () => {
    for (let count = 1; count <= 30; count += 1) {
      const { boxes } = layOutPath(Array.from({ length: count }, (_, index) => place(String(index), index * 7)), measures);
      expect(boxes).toHaveLength(count);
      for (const [index, box] of boxes.entries()) {
        expect(box.x).toBeGreaterThanOrEqual(-1e-9);
        expect(box.x + box.width).toBeLessThanOrEqual(400 + 1e-9);
        for (const other of boxes.slice(index + 1).filter((one) => one.row === box.row)) {
          expect(other.x >= box.x + box.width - 1e-9 || box.x >= other.x + other.width - 1e-9).toBe(true);
        }
      }
    }
  });

  it('draws nothing of a line without places', () => {
    expect(layOutPath([], measures)).toEqual({ boxes: [], rows: [], height: 0 });
  });
});
