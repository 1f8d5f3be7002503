import { describe, expect, it } from 'vitest';
import { lineDelay } from '../../../server/core/delay/line-delay.ts';
import { minute } from '../../support/given.ts';
import { simulateLine, type SimLine } from '../../support/simulated-line.ts';

// The table of definitions §5: three stations of 25, 30 and 20 minutes, as ready.
const STANDARD = [25, 30, 20];

function example(releases: number[], more: Partial<SimLine> = {}, work: Record<number, number[]> = {}): SimLine {
  const units = releases.map((planned, i) => ({ planned, there: planned, work: work[i] ?? STANDARD, lag: [0, 0, 0] }));
  return { standard: STANDARD, capacity: [1, 1, 1], pace: releases[1]!, units, stops: [], holds: [], pulls: [], until: 400, ...more };
}
const four = [0, 30, 60, 90];
const hold = (id: string, unit: number, from: number, minutes: number) => ({ id, unit, from, to: from + minutes, keeps: 'work' as const });
const A = hold('A', 1, 40, 20);
const B = { id: 'B', station: 1, from: 42, to: 67 };

function told(sim: SimLine, to = 240) {
  const { causes, exits, ...delay } = lineDelay(simulateLine(sim), minute(0), minute(to));
  return {
    causes: causes.map(({ kind, cause, began, localMinutes, lineMinutes }) => [cause ?? kind, (began - minute(0)) / 60_000, localMinutes, lineMinutes]),
    planned: exits.map((exit) => exit.planned), built: exits.map((exit) => exit.built), total: delay.totalMinutes, late: delay.unitMinutesLate,
  };
}

describe('lineDelay of the worked examples', () => {
  it('plans them at 75/105/135/165', () => {
    expect(told(example(four))).toEqual({ causes: [], planned: [75, 105, 135, 165], built: [75, 105, 135, 165], total: 0, late: 0 });
  });

  it.each([
    ['a hold that slack absorbs', example(four, { holds: [hold('A', 1, 85, 10)] }), [['A', 85, 10, 0]], [75, 115, 135, 165]],
    ['a hold of which 8 minutes reach the end', example(four, { holds: [hold('A', 1, 85, 18)] }), [['A', 85, 18, 8]], [75, 123, 143, 173]],
    ['a hold and work over standard', example(four, { holds: [hold('A', 1, 30, 12)] }, { 1: [25, 39, 20] }), [['A', 30, 12, 12], ['overStandard', 97, 9, 9]], [75, 126, 156, 186]],
    ['a hold and a stop that overlap', example(four, { holds: [A], stops: [B] }), [['A', 40, 20, 20], ['B', 42, 25, 5]], [100, 130, 160, 190]],
    ['the same with two places at station 2', example(four, { holds: [A], stops: [B], capacity: [1, 2, 1] }), [['A', 40, 20, 10], ['B', 42, 25, 0]], [100, 125, 150, 175]],
  ])('charges %s', (_, sim, causes, built) => {
    const found = told(sim);
    expect(found.causes).toEqual(causes);
    expect(found.built).toEqual(built);
    expect(found.planned).toEqual([75, 105, 135, 165]);
    expect(found.total).toBe(built.at(-1)! - 165);
  });

  it('tells a delay that is caught up before the last unit in unit minutes', () => {
    const found = told(example([0, 40, 80, 120, 160], { holds: [hold('A', 1, 95, 35)] }));
    expect(found).toEqual({ causes: [['A', 95, 35, 0]], planned: [75, 115, 155, 195, 235], built: [75, 150, 170, 200, 235], total: 0, late: 55 });
  });
});
