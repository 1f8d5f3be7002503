import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cChart, individualsChart, pChart, uChart } from '../../../server/core/rates/control-limits.ts';

interface Published {
  individuals: { data: number[]; mean: number; mrBar: number; limits_d2_1128: [number, number]; limits_exact_d2: [number, number]; MR_UCL_3267: number };
  cChart: { data: number[]; cBar: number; UCL: number; LCL: number; signals: number[] };
  pChart: { counts: number[]; n: number; pBar: number; UCL: number; LCL: number; signals: number[] };
  uChartConstant: { counts: number[]; n: number; uBar: number; UCL: number; LCL: number; signals: number[] };
  uChartVariable: { counts: number[]; n: number[]; uBar: number; rows: { u: number; UCL: number; LCL: number }[] };
  cChartCircuit: { counts: number[]; cBar: number; UCL: number; LCL: number; signals: number[] };
}
const published = JSON.parse(readFileSync(new URL('../../published/control-charts.json', import.meta.url), 'utf8')) as Published;
/** Numbers of the samples outside, counted from 1 as the sources do. */
const signals = (points: readonly { outside: boolean }[]): number[] => points.flatMap(({ outside }, i) => (outside ? [i + 1] : []));
const someValues = fc.array(fc.integer({ min: -300, max: 300 }), { minLength: 2, maxLength: 60 });

describe('individualsChart', () => {
  // NIST/SEMATECH e-Handbook 6.3.2.2, flow rates: mean 50.81, mean range 1.8778, limits 45.8159 and 55.8041, no signal.
  it('gives the limits of the handbook', () => {
    const { data, mean, mrBar, limits_d2_1128: [lower, upper], MR_UCL_3267: rangeUpper } = published.individuals;
    const chart = individualsChart(data)!;
    expect(chart.values.centre).toBeCloseTo(mean, 9);
    expect(chart.values.lower).toBeCloseTo(lower, 9);
    expect(chart.values.upper).toBeCloseTo(upper, 9);
    expect(Math.abs(chart.values.lower - 45.8159)).toBeLessThan(5e-5);
    expect(Math.abs(chart.values.upper - 55.8041)).toBeLessThan(5e-5);
    expect(chart.ranges.centre).toBeCloseTo(mrBar, 9);
    expect(chart.ranges.upper).toBeCloseTo(rangeUpper, 9);
    expect(signals(chart.points)).toEqual([]);
    expect(chart.points.some(({ runOfNine, rangeOutside }) => runOfNine || rangeOutside)).toBe(false);
  });

  it('is within two thousandths of the limits with an exact d2', () => {
    const chart = individualsChart(published.individuals.data)!;
    const [lower, upper] = published.individuals.limits_exact_d2;
    expect(Math.abs(chart.values.lower - lower)).toBeLessThan(2e-3);
    expect(Math.abs(chart.values.upper - upper)).toBeLessThan(2e-3);
  });

  it('tells a point outside and a jump of the range', () => {
    const chart = individualsChart([10, 11, 10, 11, 10, 11, 10, 11, 10, 40])!;
    expect(signals(chart.points)).toEqual([10]);
    expect(chart.points.at(-1)!.rangeOutside).toBe(true);
  });

  it('tells the ninth in a row on one side and those after it, not the eighth', () => {
    const eighteen = [...Array<number>(9).fill(10), ...Array<number>(9).fill(20)];
    expect(individualsChart(eighteen)!.points.map(({ runOfNine }) => runOfNine)).toEqual([...Array<boolean>(8).fill(false), true, ...Array<boolean>(8).fill(false), true]);
    const sixteen = [...Array<number>(8).fill(10), ...Array<number>(8).fill(20)];
    expect(individualsChart(sixteen)!.points.some(({ runOfNine }) => runOfNine)).toBe(false);
  });

  it('ends a row at a value on the centre line', () => {
    const values = [...Array<number>(5).fill(10), 15, ...Array<number>(5).fill(10), ...Array<number>(10).fill(20)];
    const centred = individualsChart(values)!;
    expect(centred.values.centre).toBe(15);
    expect(centred.points.slice(0, 11).some(({ runOfNine }) => runOfNine)).toBe(false);
    expect(centred.points.slice(11).filter(({ runOfNine }) => runOfNine)).toHaveLength(2);
  });

  it('has no limits below two values', () => {
    expect(individualsChart([])).toBeNull();
    expect(individualsChart([5])).toBeNull();
    expect(individualsChart([5, 5])).toMatchObject({ values: { centre: 5, lower: 5, upper: 5 } });
  });

  it('moves and stretches with the values, and its rows of nine are those that a count from scratch finds', () => {
    fc.assert(fc.property(someValues, fc.integer({ min: -100, max: 100 }), fc.integer({ min: 1, max: 9 }), (values, shift, factor) => {
      const chart = individualsChart(values)!;
      const moved = individualsChart(values.map((value) => value * factor + shift))!;
      expect(moved.values.upper).toBeCloseTo(chart.values.upper * factor + shift, 6);
      expect(moved.values.lower).toBeCloseTo(chart.values.lower * factor + shift, 6);
      const side = values.map((value) => Math.sign(value - chart.values.centre));
      const expected = side.map((own, i) => i >= 8 && own !== 0 && side.slice(i - 8, i + 1).every((other) => other === own));
      expect(chart.points.map(({ runOfNine }) => runOfNine)).toEqual(expected);
    }));
  });
});

describe('cChart', () => {
  // NIST/SEMATECH e-Handbook 6.3.3.1: limits 4 and 28; wafer 3 lies on the limit and is no signal.
  it('gives the limits of the handbook for 25 wafers', () => {
    const { data, cBar, UCL, LCL, signals: expected } = published.cChart;
    const points = cChart(data);
    expect(points[0]).toMatchObject({ centre: cBar, upper: UCL, lower: LCL });
    expect(signals(points)).toEqual(expected);
    expect(points[2]).toMatchObject({ value: 28, outside: false });
  });

  // Montgomery, circuit boards.
  it('finds the two samples of circuit boards, one of them too good', () => {
    const { counts, cBar, UCL, LCL, signals: expected } = published.cChartCircuit;
    const points = cChart(counts);
    expect(points[0]!.centre).toBeCloseTo(cBar, 9);
    expect(points[0]!.upper).toBeCloseTo(UCL, 9);
    expect(points[0]!.lower).toBeCloseTo(LCL, 9);
    expect(signals(points)).toEqual(expected);
  });

  it('has nothing below 0, and nothing to say of no samples', () => {
    expect(cChart([1, 2, 0, 1])[0]!.lower).toBe(0);
    expect(cChart([])).toEqual([]);
  });
});

describe('pChart', () => {
  // NIST/SEMATECH e-Handbook 6.3.3.2: 0.2313, 0.4102, 0.0524; wafers 15 and 23.
  it('gives the limits of the handbook for 30 wafers', () => {
    const { counts, n, pBar, UCL, LCL, signals: expected } = published.pChart;
    const points = pChart(counts.map((defective) => ({ defective, units: n })));
    expect(points[0]!.centre).toBeCloseTo(pBar, 9);
    expect(points[0]!.upper).toBeCloseTo(UCL, 9);
    expect(points[0]!.lower).toBeCloseTo(LCL, 9);
    expect(signals(points)).toEqual(expected);
  });

  it('keeps its limits between 0 and 1, and leaves out samples of no units', () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.nat(20), fc.nat(20)), { maxLength: 12 }), (pairs) => {
      const samples = pairs.map(([a, b]) => ({ defective: Math.min(a, b), units: b }));
      const points = pChart(samples);
      expect(points).toHaveLength(samples.filter(({ units }) => units > 0).length);
      for (const { lower, centre, upper } of points) expect(0 <= lower && lower <= centre && centre <= upper && upper <= 1).toBe(true);
    }));
  });
});

describe('uChart', () => {
  // Montgomery, 2nd ed., 181-182.
  it('gives the limits of samples of one size', () => {
    const { counts, n, uBar, UCL, LCL, signals: expected } = published.uChartConstant;
    const points = uChart(counts.map((defects) => ({ defects, units: n })));
    expect(points[0]!.centre).toBeCloseTo(uBar, 9);
    expect(points[0]!.upper).toBeCloseTo(UCL, 9);
    expect(points[0]!.lower).toBeCloseTo(LCL, 9);
    expect(signals(points)).toEqual(expected);
  });

  // Montgomery, 2nd ed., 183-184, dyed cloth.
  it('gives each roll of cloth limits of its own size', () => {
    const { counts, n, uBar, rows } = published.uChartVariable;
    const points = uChart(counts.map((defects, i) => ({ defects, units: n[i]! })));
    rows.forEach(({ u, UCL, LCL }, i) => {
      expect(points[i]!.value).toBeCloseTo(u, 9);
      expect(points[i]!.centre).toBeCloseTo(uBar, 9);
      expect(points[i]!.upper).toBeCloseTo(UCL, 9);
      expect(points[i]!.lower).toBeCloseTo(LCL, 9);
    });
    expect(signals(points)).toEqual([]);
  });

  it('of samples of one unit is the c chart', () => {
    fc.assert(fc.property(fc.array(fc.nat(40), { maxLength: 30 }), (counts) => {
      expect(uChart(counts.map((defects) => ({ defects, units: 1 })))).toEqual(cChart(counts));
    }));
  });

  it('leaves out a sample of no units', () => {
    expect(uChart([{ defects: 0, units: 0 }, { defects: 4, units: 2 }])).toHaveLength(1);
  });
});
