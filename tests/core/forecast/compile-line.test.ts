import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { SHIPPING } from '../../../server/core/forecast/compiled-line.ts';
import { constantTable, drawTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastInput, OpenHold } from '../../../server/core/forecast/forecast-input.ts';
import { PURPOSE } from '../../../server/core/forecast/random.ts';
import { rollsOf } from '../../../server/core/forecast/run-together.ts';
import { createTableStore } from '../../../server/core/forecast/table-store.ts';
import { arbitraryLine } from '../../support/arbitrary-line.ts';
import { alwaysWorking, exactly, forecastInput, forecastStage, forecastStation, forecastUnit, working } from '../../support/given-forecast.ts';

const RATIOS = drawTable([0.5, 1, 1.5, 2]);
const STATIONS = ['S1', 'S2', 'S3'].map((code) => forecastStation(code, { draws: working(RATIOS) }));
const STANDARDS = { S1: 20, S2: 30, S3: 40 };
const hold = (keepsFrom: OpenHold['keepsFrom'], fromStation: string | null = null): OpenHold => ({ id: keepsFrom, keepsFrom, fromStation, left: constantTable(5) });

describe('compileLine', () => {
  it('has a step for each visit still to come, the one where a unit stands first', () => {
    const { steps } = compileLine(forecastInput(STATIONS, [
      forecastUnit('U1', STANDARDS, { reached: 1, here: true, worked: 5 }), forecastUnit('U2', STANDARDS, { reached: 0, here: false }), forecastUnit('U3', { S1: 20, S3: 7 }),
    ]));
    expect([...steps.first]).toEqual([0, 2, 4, 6]);
    expect([...steps.station]).toEqual([1, 2, 1, 2, 0, 2]);
    expect([...steps.standing]).toEqual([1, 0, 0, 0, 0, 0]);
    // What is left of work in hand is a table of minutes; other work is a ratio of the standard.
    expect([...steps.scale]).toEqual([1, 40, 30, 40, 20, 7]);
  });

  it('keeps as many leaves of a station as decide about its next place', () => {
    const units = Array.from({ length: 5 }, (_, i) => forecastUnit(`U${i}`, { A: 1, B: 1, C: 1, D: 1, E: 1, F: 1 }, { length: i === 0 ? 6 : 9 }));
    const { stations } = compileLine(forecastInput([
      forecastStation('A', { capacity: 1 }), forecastStation('B', { capacity: 3 }), forecastStation('C', { capacity: 50 }), forecastStation('D', { capacity: null }),
      forecastStation('E', { capacity: null, unitsMayPass: false }), forecastStation('F', { capacity: null, placeLength: 20 }),
    ], units));
    expect([...stations.kept]).toEqual([1, 3, 5, 0, 1, 4]);
    expect([...stations.capacity]).toEqual([1, 3, 50, 0, 0, 0]);
  });

  it('plans releases: the schedule\'s, else one pace after the one before, never before now', () => {
    const units = [10, null, null, 50].map((plannedRelease, i) => forecastUnit(`U${i}`, STANDARDS, { plannedRelease }));
    expect([...compileLine(forecastInput(STATIONS, units)).units.release]).toEqual([10, 40, 70, 50]);
    const late = [null, null].map((plannedRelease, i) => forecastUnit(`U${i}`, STANDARDS, { plannedRelease }));
    expect([...compileLine(forecastInput(STATIONS, late, { lastRelease: -50 })).units.release]).toEqual([0, 30]);
    expect([...compileLine(forecastInput(STATIONS, late, { lastRelease: -10 })).units.release]).toEqual([20, 50]);
    // On a line that rolls together the pace counts from the roll itself, which is drawn.
    expect([...compileLine(forecastInput(STATIONS, late, { lastRelease: -10, roll: 'together' })).units.release]).toEqual([20, Number.NaN]);
  });

  it('puts a hold before what it keeps the unit from', () => {
    const before = (more: Partial<ReturnType<typeof forecastUnit>>, ...holds: OpenHold[]): number[] =>
      [...compileLine(forecastInput(STATIONS, [forecastUnit('U0', STANDARDS), forecastUnit('U1', STANDARDS, { ...more, holds })])).holds.before];
    // Unit 0 takes steps 0 to 2; unit 1, standing at station 2, steps 3 and 4.
    const standing = { reached: 1, here: true, worked: 3 };
    expect(before(standing, hold('work'), hold('leaving'), hold('station', 'S3'), hold('shipping'))).toEqual([3, 4, 4, SHIPPING]);
    expect(before({ ...standing, worked: null }, hold('work'))).toEqual([4]);
    expect(before(standing, hold('station', 'S1'), hold('station', 'S2'), hold('station', null))).toEqual([]);
    expect(before({ reached: -1 }, hold('work'), hold('station', 'S1'), hold('station', 'S3'))).toEqual([3, 3, 5]);
  });

  it('has chances only where something can happen, and less of it where work is under way', () => {
    const draws = { ...working(RATIOS), holds: { rate: 0.5, minutes: constantTable(9) }, stops: { rate: 2, minutes: constantTable(4) } };
    const input = forecastInput([forecastStation('S1', { draws }), forecastStation('S2')], [forecastUnit('U1', { S1: 60, S2: 10 }), forecastUnit('U2', { S1: 60 }, { reached: 0, here: true, worked: null })]);
    const { steps, chances } = compileLine(input);
    expect([...steps.firstChance]).toEqual([0, 2, 2, 2]);
    expect([...chances.purpose]).toEqual([PURPOSE.holds, PURPOSE.stops]);
    // Half of the visits: a Poisson mean of ln 2. Two stops an hour of work, and the mean ratio is 1.25.
    expect(chances.mean[0]).toBeCloseTo(Math.LN2, 12);
    expect(chances.mean[1]).toBeCloseTo(2.5, 12);
    expect([...chances.once]).toEqual([1, 0]);
  });

  it('runs in wall-clock time only when a station has a calendar of its own', () => {
    const own = alwaysWorking();
    const units = [forecastUnit('U1', STANDARDS)];
    expect(compileLine(forecastInput(STATIONS, units)).wallClock).toBe(false);
    const compiled = compileLine(forecastInput([STATIONS[0]!, { ...STATIONS[1]!, calendar: own }, { ...STATIONS[2]!, calendar: own }], units));
    expect([compiled.wallClock, compiled.calendars.length, ...compiled.stations.calendar]).toEqual([true, 2, 0, 1, 1]);
  });

  it('names stations and then stages; the last stage marked so makes a unit ready', () => {
    const stages = [forecastStage('A', { ready: true }), forecastStage('B', { ready: true }), forecastStage('C', { ready: false })];
    const compiled = compileLine(forecastInput(STATIONS, [forecastUnit('U1', STANDARDS)], { stages }));
    expect(compiled.stations.codes).toEqual(['S1', 'S2', 'S3', 'A', 'B', 'C']);
    expect([compiled.stations.count, compiled.stages.ready]).toEqual([3, 1]);
    expect(compileLine(forecastInput(STATIONS, [forecastUnit('U1', STANDARDS)])).stages.ready).toBe(-1);
  });

  it('points every draw at its table', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), (input: ForecastInput) => {
      const { steps, tables } = compileLine(input);
      steps.table.forEach((place, k) => {
        const entries = 2 ** (32 - steps.shift[k]!);
        expect(place + entries).toBeLessThanOrEqual(tables.length);
        const station = input.stations[steps.station[k]!]!;
        if (steps.standing[k] === 0) expect([...tables.subarray(place, place + entries)]).toEqual([...station.draws.ratios]);
      });
    }), { numRuns: 20 });
  });
});

describe('the store of tables', () => {
  it('keeps a table that is used twice once', () => {
    const store = createTableStore();
    const [first, second] = [constantTable(1), drawTable([1, 2], undefined, 3)];
    expect([...store.draws([first, second, first]).table]).toEqual([0, 2, 0]);
    expect([...store.draws([second]).table]).toEqual([2]);
    expect([...store.draws([first, second]).shift]).toEqual([31, 29]);
    expect([...store.all()]).toEqual([1, 1, 1, 1, 1, 1, 2, 2, 2, 2]);
  });
});

describe('the rolls of a line that rolls together', () => {
  it('move every unit one place, let one in at a time, and go on until all are out', () => {
    const compiled = compileLine(forecastInput(['A', 'B'].map((code) => forecastStation(code, { draws: exactly })), [
      forecastUnit('U1', { A: 1, B: 1 }, { reached: 0, here: true, worked: 0 }), forecastUnit('U2', { A: 1, B: 1 }), forecastUnit('U3', { A: 1, B: 1 }),
    ], { roll: 'together' }));
    expect(rollsOf(compiled).map(({ entering, moving }) => [entering, ...moving.map(({ unit, to }) => `${unit}>${to - compiled.steps.first[unit]!}`)])).toEqual([
      [1, '0>1'], [2, '0>2', '1>1'], [-1, '1>2', '2>1'], [-1, '2>2'],
    ]);
  });

  it('take every unit through each of its steps once', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS, { roll: 'together' }), (input) => {
      const compiled = compileLine(input);
      const rolls = rollsOf(compiled);
      input.units.forEach((_, unit) => {
        const moves = rolls.flatMap(({ moving }) => moving.filter((move) => move.unit === unit).map(({ from }) => from));
        const [first, end] = [compiled.steps.first[unit]!, compiled.steps.first[unit + 1]!];
        expect(moves).toEqual(Array.from({ length: end - first }, (__, i) => first + i));
      });
    }), { numRuns: 60 });
  });
});
