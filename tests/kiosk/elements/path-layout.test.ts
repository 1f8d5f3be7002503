import { describe, expect, it } from 'vitest';
import { layOutPath, leastWidth, typeThatFits, type PathPlace, type PathStretch } from '../../../kiosk/elements/path-layout.ts';

// Common practice, no source: the rules are those of the board's own design.
const measures = { width: 420, type: 10, characters: 8, mark: null };
const place = (code: string, minutes: number, more: Partial<PathPlace> = {}): PathPlace => ({ code, minutes, units: 1, columns: 1, marked: true, feet: 0, ...more });
const stretch = (places: PathPlace[], more: Partial<PathStretch> = {}): PathStretch => ({ title: 'Main', area: 'Hall 1', line: true, joins: false, places, ...more });
const many = (count: number): PathPlace[] => Array.from({ length: count }, (_, index) => place(String(index), 20 + index));

describe('layOutPath', () => {
  it('makes a place as long as its minutes', () => {
    const { boxes } = layOutPath([stretch([place('1', 30), place('2', 20)])], measures);
    expect(boxes.map(({ width }) => width)).toEqual([240, 160]);
    expect(boxes.map(({ x }) => x)).toEqual([10, 250]);
  });

  it('never makes one too short for its words, the others keep their proportion', () => {
    const { boxes } = layOutPath([stretch([place('1', 30), place('2', 0), place('3', 60)])], measures);
    expect(boxes.map(({ width }) => width)).toEqual([110, 70, 220]);
    expect(layOutPath([stretch([place('1', 0), place('2', 0)])], measures).boxes.map(({ width }) => width)).toEqual([200, 200]);
  });

  it('turns at the end of a row, as even as the width allows', () => {
    const { boxes, rows } = layOutPath([stretch(many(7))], measures);
    expect(boxes.map(({ row }) => row)).toEqual([0, 0, 0, 0, 1, 1, 1]);
    expect(rows.map(({ leftward }) => leftward)).toEqual([false, true]);
    expect(boxes[4]!.x).toBeGreaterThan(boxes[6]!.x);
    expect(rows[0]!.track).toMatchObject({ from: 10, to: 410 });
    expect(rows[1]!.track).toMatchObject({ from: 410, to: 10 });
  });

  it('names a stretch where it begins, and says which rows the path comes to', () => {
    const { rows } = layOutPath([stretch(many(7)), stretch(many(2), { title: 'Feeder', area: 'Hall 2' })], measures);
    expect(rows.map(({ title, joins }) => [title, joins])).toEqual([['Main', false], ['', true], ['Feeder', false]]);
  });

  it('puts a bay at the end of its hall where there is room, else in a row of its own', () => {
    const bay = stretch([place('BAY', 0, { columns: 2 })], { line: false, title: '' });
    const fits = layOutPath([stretch(many(3)), bay], measures);
    expect(fits.rows).toHaveLength(1);
    expect(fits.boxes.at(-1)).toMatchObject({ width: 140, columns: 2 });
    expect(fits.rows[0]!.track!.to).toBe(fits.boxes.at(-1)!.x);
    const full = layOutPath([stretch(many(4)), bay], measures);
    expect(full.rows.map(({ track }) => track === null)).toEqual([false, true]);
    expect(layOutPath([stretch(many(3)), { ...bay, area: 'Yard' }], measures).areas.map(({ name }) => name)).toEqual(['Hall 1', 'Yard']);
  });

  it('gives a row the height of its fullest place', () => {
    const one = layOutPath([stretch([place('1', 10)])], measures).rows[0]!.height;
    expect(layOutPath([stretch([place('1', 10, { units: 2 })])], measures).rows[0]!.height - one).toBeCloseTo(44.5);
    const yard = stretch([place('YARD', 0, { units: 12, columns: 12, marked: false })], { line: false, area: 'Yard' });
    const laid = layOutPath([yard], measures);
    expect(laid.boxes[0]).toMatchObject({ columns: 5, width: 400 });
    expect(laid.rows[0]!.height).toBeCloseTo(13.5 + 3 * 33.5);
  });

  it('makes room for the words of the plan over the row that has its mark', () => {
    const height = (mark: string | null): number => layOutPath([stretch(many(7))], { ...measures, mark }).height;
    expect(height('5') - height(null)).toBeCloseTo(13.5);
    expect(height('nowhere')).toBe(height(null));
  });

  it('keeps every place within the page, and no two over each other', () => {
    for (let count = 1; count <= 30; count += 1) {
      const { boxes, height } = layOutPath([stretch(many(count)), stretch([place('B', 0, { columns: 2 })], { line: false })], measures);
      expect(boxes).toHaveLength(count + 1);
      for (const [index, box] of boxes.entries()) {
        expect(box.x).toBeGreaterThanOrEqual(10 - 1e-9);
        expect(box.x + box.width).toBeLessThanOrEqual(410 + 1e-9);
        expect(box.width).toBeGreaterThanOrEqual(leastWidth(10, 8) - 1e-9);
        expect(box.y + box.height).toBeLessThanOrEqual(height);
        for (const other of boxes.slice(index + 1)) {
          const apart = other.x >= box.x + box.width - 1e-9 || box.x >= other.x + other.width - 1e-9 || other.y >= box.y + box.height || box.y >= other.y + other.height;
          expect(apart).toBe(true);
        }
      }
    }
  });

  it('draws nothing of a line without places', () => {
    expect(layOutPath([stretch([])], measures)).toEqual({ boxes: [], rows: [], areas: [], height: 0 });
  });
});

describe('typeThatFits', () => {
  const sizes = [30, 20, 10];
  const fit = (height: number): number => typeThatFits([stretch(many(7))], { width: 420, characters: 8, mark: null }, height, sizes);
  const heightAt = (type: number): number => layOutPath([stretch(many(7))], { ...measures, type }).height;

  it('is the largest that the height allows', () => {
    expect(fit(heightAt(30))).toBe(30);
    expect(fit(heightAt(20))).toBe(20);
    expect(fit(heightAt(20) - 1)).toBe(10);
  });

  it('is the smallest where nothing fits: the page scrolls', () => {
    expect(fit(1)).toBe(10);
  });
});
