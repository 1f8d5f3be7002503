import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import type { CompiledLine } from '../../../server/core/forecast/compiled-line.ts';
import { createPlainRuns, scatter } from '../../../server/core/forecast/plain-runs.ts';
import { PURPOSE, seedState } from '../../../server/core/forecast/random.ts';
import { BLOCK, byteOf, layOut, type RunMemory, vectorAfter } from '../../../server/core/forecast/run-memory.ts';
import type { Runs, Stream } from '../../../server/core/forecast/runs.ts';
import { createPaths, createTracedRuns, mark, type Paths } from '../../../server/core/forecast/traced-runs.ts';
import { drawTable } from '../../../server/core/forecast/draw-table.ts';
import { arbitraryLine } from '../../support/arbitrary-line.ts';
import { alwaysWorking, forecastInput, forecastStation, forecastUnit, mean, working } from '../../support/given-forecast.ts';

const RATIOS = drawTable([0.5, 1, 1.5, 2]);

/** A line whose one station keeps eight leaves and is measured by length too, so that there are vectors to work on. */
function bench(): { at: RunMemory; plain: Runs; traced: Runs; paths: Paths; stream: Stream } {
  const units = Array.from({ length: 8 }, (_, i) => forecastUnit(`U${i}`, { S1: 10 }, { length: 5 }));
  const compiled = compileLine(forecastInput([forecastStation('S1', { placeLength: 40, draws: working(RATIOS) })], units));
  const at = layOut(compiled);
  const plain = createPlainRuns(at, 1);
  const paths = createPaths(at);
  return { at, plain, paths, traced: createTracedRuns(at, paths, plain, 1), stream: { low: 1, high: 2, purpose: PURPOSE.stage, table: compiled.steps.table[0]!, shift: compiled.steps.shift[0]!, scale: 3, kept: 0 } };
}

const whole = fc.integer({ min: 0, max: 50 });
const vectorOf = (at: RunMemory, vector: number): number[] => [...at.doubles.subarray(vector, vector + BLOCK)];
/** Puts `values` into the first runs of a vector. */
const put = (at: RunMemory, vector: number, values: readonly number[]): void => at.doubles.set(values, vector);

describe('what is done to a vector', () => {
  it.each(['plain', 'traced'] as const)('%s: fill, copy, the later of two, add', (kind) => {
    fc.assert(fc.property(fc.array(whole, { minLength: 9, maxLength: 9 }), fc.array(whole, { minLength: 9, maxLength: 9 }), (first, second) => {
      const { at, [kind]: runs } = bench();
      const [a, b, c] = [at.ready[0]!, at.ready[1]!, at.ready[2]!];
      runs.fill(a, 7);
      expect(new Set(vectorOf(at, a))).toEqual(new Set([7]));
      put(at, a, first);
      put(at, b, second);
      runs.copy(c, a);
      expect(vectorOf(at, c)).toEqual(vectorOf(at, a));
      runs.laterOf(c, b);
      expect(vectorOf(at, c).slice(0, 9)).toEqual(first.map((value, i) => Math.max(value, second[i]!)));
      runs.add(a, b, 0);
      expect(vectorOf(at, a).slice(0, 9)).toEqual(first.map((value, i) => value + second[i]!));
      runs.addOnCalendar(b, c, alwaysWorking(), 0);
      expect(vectorOf(at, b).slice(0, 9)).toEqual(second.map((value, i) => value + Math.max(first[i]!, value)));
    }), { numRuns: 20 });
  });

  it.each(['plain', 'traced'] as const)('%s: the latest leaves stay in falling order', (kind) => {
    fc.assert(fc.property(fc.array(whole, { minLength: 1, maxLength: 14 }), fc.integer({ min: 1, max: 8 }), (leaves, kept) => {
      const { at, [kind]: runs } = bench();
      const first = at.leaves[0]!;
      for (let slot = 0; slot < kept; slot++) runs.fill(vectorAfter(first, slot), 0);
      for (const leave of leaves) {
        runs.fill(at.scratch, leave);
        runs.insert(first, kept, at.scratch);
      }
      const expected = [...leaves, ...Array.from({ length: kept }, () => 0)].sort((a, b) => b - a).slice(0, kept);
      expect(expected.map((_, slot) => at.doubles[vectorAfter(first, slot) + BLOCK - 1])).toEqual(expected);
    }), { numRuns: 60 });
  });

  it.each(['plain', 'traced'] as const)('%s: a place measured by length is free when what leaves later leaves room', (kind) => {
    const unit = fc.record({ leave: whole, length: fc.integer({ min: 5, max: 12 }) });
    fc.assert(fc.property(fc.array(unit, { maxLength: 12 }), fc.integer({ min: 5, max: 12 }), (left, length) => {
      const { at, [kind]: runs } = bench();
      const [leaves, lengths, kept] = [at.leaves[0]!, at.lengths[0]!, 8];
      for (let slot = 0; slot < kept; slot++) for (const vector of [leaves, lengths]) runs.fill(vectorAfter(vector, slot), 0);
      for (const one of left) {
        runs.fill(at.scratch, one.leave);
        runs.insertWithLength(leaves, lengths, kept, at.scratch, one.length);
      }
      runs.freeByLength(at.scratch, leaves, lengths, kept, length, 40);
      const fits = (instant: number): boolean => left.reduce((sum, one) => sum + (one.leave > instant ? one.length : 0), length) <= 40;
      expect(at.doubles[at.scratch]).toBe([0, ...left.map(({ leave }) => leave)].sort((a, b) => a - b).find(fits));
    }), { numRuns: 100 });
  });

  it('traced and plain draw and advance alike', () => {
    const [one, other] = [bench(), bench()];
    for (const { at, plain } of [one, other]) {
      plain.begin(0);
      put(at, at.ready[0]!, Array.from({ length: BLOCK }, (_, r) => r % 17));
      put(at, at.ready[1]!, Array.from({ length: BLOCK }, (_, r) => r % 13));
    }
    one.plain.advance(one.at.ready[0]!, one.at.ready[1]!, one.at.ready[2]!, one.stream, 0);
    other.traced.advance(other.at.ready[0]!, other.at.ready[1]!, other.at.ready[2]!, other.stream, 0);
    for (const vector of [0, 1, 2]) expect(vectorOf(other.at, other.at.ready[vector]!)).toEqual(vectorOf(one.at, one.at.ready[vector]!));
  });

  it('a stream that is not kept begins anew with each part, and draws the same for the same part', () => {
    const { at, plain, stream } = bench();
    const draws = (part: number): number[] => {
      plain.begin(part);
      plain.draw(at.scratch, stream);
      return vectorOf(at, at.scratch);
    };
    const [first, second] = [draws(0), draws(1)];
    expect(draws(0)).toEqual(first);
    expect(second).not.toEqual(first);
    // Four values of 1.5, 3, 4.5, 6, equally likely.
    expect(new Set(first)).toEqual(new Set([1.5, 3, 4.5, 6]));
    expect(Math.abs(mean(first) - 3.75)).toBeLessThan((4.5 * Math.sqrt(2.8125)) / Math.sqrt(BLOCK));
  });
});

describe('the path beside a number', () => {
  it('marks places 0 to 63, and none for -1', () => {
    const { paths } = bench();
    for (let place = 0; place < 64; place++) {
      mark(paths, 5, place);
      expect([paths.low[5]! >>> 0, paths.high[5]! >>> 0].map((bits) => bits.toString(2).replaceAll('0', '').length)).toEqual(place < 32 ? [place + 1, 0] : [32, place - 31]);
    }
    mark(paths, 6, -1);
    expect([paths.low[6], paths.high[6]]).toEqual([0, 0]);
  });

  it('goes with the later of two, stays with the first of two equal ones, and is forgotten by a fill', () => {
    const { at, traced, paths } = bench();
    const [a, b] = [at.ready[0]!, at.ready[1]!];
    const set = (first: number, second: number): void => {
      traced.fill(a, first);
      traced.fill(b, second);
      mark(paths, a, 1);
      mark(paths, b, 2);
      traced.laterOf(a, b);
    };
    set(5, 9);
    expect(paths.low[a]).toBe(1 << 2);
    set(9, 5);
    expect(paths.low[a]).toBe(1 << 1);
    set(7, 7);
    expect(paths.low[a]).toBe(1 << 1);
    traced.fill(a, 0);
    expect(paths.low[a]).toBe(0);
  });

  it('takes a station in only where minutes pass', () => {
    const { at, traced, paths } = bench();
    const [a, minutes] = [at.ready[0]!, at.ready[1]!];
    traced.fill(a, 3);
    traced.fill(minutes, 0);
    at.doubles[minutes + 1] = 4;
    traced.add(a, minutes, 6);
    expect([paths.low[a], paths.low[a + 1]]).toEqual([0, 1 << 6]);
  });
});

describe('scatter', () => {
  const hits = (average: number, once: boolean, seed: number): number[] => {
    const doubles = new Float64Array(BLOCK + 2).fill(0);
    doubles[BLOCK] = doubles[BLOCK + 1] = 1;
    const state = new Uint32Array(4);
    seedState(state, seed, 1, 2, 3, 0);
    scatter(doubles, 0, BLOCK, { low: 0, high: 0, purpose: 0, table: 0, shift: 31, scale: 1, kept: 0 }, average, once, state);
    return [...doubles.subarray(0, BLOCK)];
  };

  it('gives Poisson numbers of events, or one with the probability of any', () => {
    const rounds = Array.from({ length: 60 }, (_, seed) => hits(0.7, false, seed)).flat();
    const probability = (n: number): number => (Math.exp(-0.7) * 0.7 ** n) / [1, 1, 2, 6][n]!;
    for (const n of [0, 1, 2, 3]) {
      const share = rounds.filter((count) => count === n).length / rounds.length;
      expect(Math.abs(share - probability(n))).toBeLessThan(4.5 * Math.sqrt((probability(n) * (1 - probability(n))) / rounds.length));
    }
    const single = Array.from({ length: 60 }, (_, seed) => hits(0.7, true, seed)).flat();
    expect(new Set(single)).toEqual(new Set([0, 1]));
    expect(Math.abs(mean(single) - (1 - Math.exp(-0.7)))).toBeLessThan(4.5 * Math.sqrt(0.25 / single.length));
  });

  it('leaves nearly every run alone when it hardly ever happens', () => {
    fc.assert(fc.property(fc.integer(), (seed) => {
      expect(hits(1e-15, false, seed).some((count) => count > 0)).toBe(false);
    }));
  });
});

describe('the memory', () => {
  const vectorsOf = ({ stations }: CompiledLine, at: RunMemory): number[] => [
    ...[...at.leaves].flatMap((first, s) => Array.from({ length: stations.kept[s]! }, (_, slot) => vectorAfter(first, slot))),
    ...[...at.lengths].flatMap((first, s) => (Number.isNaN(stations.placeLength[s]!) ? [] : Array.from({ length: stations.kept[s]! }, (_, slot) => vectorAfter(first, slot)))),
    ...at.ready, ...at.mending, ...at.service, at.zeros, at.unread, at.scratch, at.drawn, at.roll, at.lastRoll,
  ];

  it('has room for everything, and nothing twice', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), (input) => {
      const compiled = compileLine(input);
      const at = layOut(compiled);
      const vectors = vectorsOf(compiled, at).sort((a, b) => a - b);
      for (let i = 1; i < vectors.length; i++) expect(vectors[i]! - vectors[i - 1]!).toBeGreaterThanOrEqual(BLOCK);
      expect(vectors[0]).toBeGreaterThanOrEqual(at.tables + compiled.tables.length);
      expect(byteOf(vectors.at(-1)! + BLOCK)).toBeLessThanOrEqual(at.memory.buffer.byteLength);
      expect([...at.doubles.subarray(at.tables, at.tables + compiled.tables.length)]).toEqual([...compiled.tables]);
      // Vectors are read two doubles at a time.
      expect(vectors.every((vector) => vector % 2 === 0)).toBe(true);
    }), { numRuns: 40 });
  });
});
