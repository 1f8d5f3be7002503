import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CalendarTable, calendarTable } from '../../../server/core/forecast/calendar-table.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { clearBy, withHoldCleared } from '../../../server/core/forecast/clear-by.ts';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { constantTable, drawTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastInput, ForecastUnit, OpenHold, StationDraws } from '../../../server/core/forecast/forecast-input.ts';
import { type ForecastRuns, run } from '../../../server/core/forecast/run.ts';
import { calendarWc1 } from '../../support/calendar-wc1.ts';
import { exactly, firstRun, forecastInput, forecastStage, forecastStation, forecastUnit, mean, never, runsOf, standardDeviation, working } from '../../support/given-forecast.ts';

const RUNS = 20_000;
const go = (input: ForecastInput, runs = 1, seed = 1): ForecastRuns => run(compileLine(input), seed, runs);
const alone = (draws: Partial<StationDraws>, more: Partial<ForecastUnit> = {}): ForecastInput =>
  forecastInput([forecastStation('S1', { draws: { ...exactly, ...draws } })], [forecastUnit('U1', { S1: 60 }, more)]);
const within = (found: number, expected: number, deviation: number): void => expect(Math.abs(found - expected)).toBeLessThan((4.5 * deviation) / Math.sqrt(RUNS));

describe('what happens during a visit', () => {
  it('a hold comes with its probability, once at most, and lasts as drawn', () => {
    const exits = runsOf(go(alone({ holds: { rate: 0.25, minutes: drawTable([10, 50]) } }), RUNS), 'U1');
    expect(new Set(exits)).toEqual(new Set([60, 70, 110]));
    const held = exits.filter((exit) => exit > 60).length / RUNS;
    within(held, 0.25, Math.sqrt(0.25 * 0.75));
    within(exits.filter((exit) => exit === 70).length / RUNS, 0.125, Math.sqrt(0.125 * 0.875));
  });

  it('a hold that always comes is there in every run', () => {
    const exits = runsOf(go(alone({ holds: { rate: 1, minutes: constantTable(10) } }), 2_000), 'U1');
    expect(exits.filter((exit) => exit === 70).length).toBeGreaterThanOrEqual(1_998);
  });

  it('stops come as a Poisson number per hour of work', () => {
    // 1.5 an hour, one hour of work, 7 minutes each: mean 10.5, variance 1.5 * 49.
    const exits = runsOf(go(alone({ stops: { rate: 1.5, minutes: constantTable(7) } }), RUNS), 'U1');
    within(mean(exits) - 60, 10.5, Math.sqrt(1.5 * 49));
    expect(Math.abs(standardDeviation(exits) ** 2 / (1.5 * 49) - 1)).toBeLessThan(0.05);
    within(exits.filter((exit) => exit === 60).length / RUNS, Math.exp(-1.5), Math.sqrt(Math.exp(-1.5) * (1 - Math.exp(-1.5))));
    within(exits.filter((exit) => exit === 74).length / RUNS, (Math.exp(-1.5) * 2.25) / 2, 0.5);
  });

  it('what is left short is mended at the stage that mends, and nowhere else', () => {
    const input = alone({ shorts: { rate: 0.4, minutes: constantTable(35) } });
    input.stages = [forecastStage('TOUCH', { probability: 0, minutes: constantTable(0), mends: true, ready: false }), forecastStage('RELEASE', { minutes: constantTable(5) })];
    const found = go(input, RUNS);
    expect(new Set(runsOf(found, 'U1'))).toEqual(new Set([60]));
    const ready = runsOf(found, 'U1', 'ready');
    expect(new Set(ready)).toEqual(new Set([65, 100]));
    within(ready.filter((at) => at === 100).length / RUNS, 0.4, Math.sqrt(0.24));
  });

  it('every open short item is mended besides', () => {
    const input = alone({}, { openShorts: [constantTable(20), drawTable([30, 50])] });
    input.stages = [forecastStage('TOUCH', { probability: 0, mends: true })];
    expect(new Set(runsOf(go(input, 400), 'U1', 'ready'))).toEqual(new Set([110, 130]));
  });

  it('the draws of one thing do not hang on those of another', () => {
    const both = alone({ ratios: drawTable([0.5, 1.5]), holds: { rate: 0.5, minutes: constantTable(1_000) } });
    const exits = runsOf(go(both, RUNS), 'U1');
    within(exits.filter((exit) => exit === 1_090).length / RUNS, 0.25, Math.sqrt(0.25 * 0.75));
    const work = exits.map((exit) => exit % 1_000);
    const alike = runsOf(go(alone({ ratios: drawTable([0.5, 1.5]) }), RUNS), 'U1');
    expect(work).toEqual(alike);
  });

  it('less is to come at a station where part of the work is done', () => {
    const holds = { rate: 0.4, minutes: constantTable(1_000) };
    const share = (worked: number | null): number => runsOf(go(alone({ holds }, { reached: 0, here: true, worked }), RUNS), 'U1').filter((exit) => exit >= 1_000).length / RUNS;
    within(share(0), 0.4, 0.5);
    within(share(45), 0.1, 0.3);
    expect(share(null)).toBe(0);
  });
});

describe('an open hold', () => {
  const hold = (keepsFrom: OpenHold['keepsFrom'], minutes: number, fromStation: string | null = null): OpenHold => ({ id: `H-${keepsFrom}`, keepsFrom, fromStation, left: constantTable(minutes) });
  const exitOf = (more: Partial<ForecastUnit>, of: 'exit' | 'ready' = 'exit'): number => {
    const stations = ['S1', 'S2', 'S3'].map((code) => forecastStation(code));
    const unit = forecastUnit('U1', { S1: 20, S2: 30, S3: 40 }, { reached: 1, here: true, worked: 10, ...more });
    return firstRun(go(forecastInput(stations, [unit], { stages: [forecastStage('RELEASE', { minutes: constantTable(5) })] })), of).U1!;
  };

  it('keeps the unit from what it says', () => {
    expect(exitOf({})).toBe(60);
    // Work goes on after it: 50 + 20 + 40.
    expect(exitOf({ holds: [hold('work', 50)] })).toBe(110);
    // It may not leave station 2 before 50; the work there ends at 20.
    expect(exitOf({ holds: [hold('leaving', 50)] })).toBe(90);
    expect(exitOf({ holds: [hold('leaving', 15)] })).toBe(60);
    expect(exitOf({ holds: [hold('station', 70, 'S3')] })).toBe(110);
    // A station that it has passed, or stands at, keeps it from nothing.
    expect(exitOf({ holds: [hold('station', 70, 'S1')] })).toBe(60);
    expect(exitOf({ holds: [hold('station', 70, 'S2')] })).toBe(60);
    expect([exitOf({ holds: [hold('shipping', 300)] }), exitOf({ holds: [hold('shipping', 300)] }, 'ready')]).toEqual([60, 300]);
  });

  it('keeps a finished unit where it stands, one off the line off it, one still to come from being released', () => {
    expect(exitOf({ worked: null, holds: [hold('work', 50)] })).toBe(90);
    expect(exitOf({ here: false, worked: null, holds: [hold('work', 50)] })).toBe(90);
    expect(exitOf({ here: false, worked: null, holds: [hold('leaving', 50)] })).toBe(90);
    expect(exitOf({ reached: -1, here: false, worked: null, plannedRelease: 10, holds: [hold('work', 25)] })).toBe(115);
    expect(exitOf({ reached: 2, holds: [hold('leaving', 500)] })).toBe(500);
  });

  it('open beside another one runs at the same time', () => {
    expect(exitOf({ holds: [hold('work', 50), { ...hold('work', 80), id: 'H2' }] })).toBe(140);
  });

  it('keeps a line that rolls together from rolling', () => {
    const stations = ['S1', 'S2'].map((code) => forecastStation(code));
    const units = [forecastUnit('U1', { S1: 20, S2: 30 }, { reached: 1, here: true, worked: 0, holds: [hold('leaving', 55)] }), forecastUnit('U2', { S1: 20, S2: 30 }, { reached: 0, here: true, worked: 0 })];
    expect(firstRun(go(forecastInput(stations, units, { roll: 'together' })))).toEqual({ U1: 55, U2: 85 });
    const working20 = units.map((unit) => ({ ...unit, holds: unit.unit === 'U2' ? [hold('work', 40)] : [] }));
    expect(firstRun(go(forecastInput(stations, working20, { roll: 'together' })))).toEqual({ U1: 60, U2: 90 });
  });

  it('keeps a unit in the yard from its next stage, or only from shipping', () => {
    const yard = (keepsFrom: OpenHold['keepsFrom']): number => {
      const unit = forecastUnit('Y1', {}, { reached: 0, stage: { code: 'PDI', standing: false, worked: 0 }, holds: [hold(keepsFrom, 100)] });
      return firstRun(go(forecastInput([], [unit], { stages: [forecastStage('PDI', { minutes: constantTable(30) })] })), 'ready').Y1!;
    };
    expect([yard('work'), yard('leaving'), yard('shipping')]).toEqual([130, 130, 100]);
  });
});

describe('clear by', () => {
  const MINUTE = 60_000;
  const held = (minutesToPromise: number, ratios = constantTable(1)): ForecastInput => {
    const hold: OpenHold = { id: 'H1', keepsFrom: 'work', fromStation: null, left: constantTable(0) };
    const stations = ['S1', 'S2'].map((code) => forecastStation(code, { draws: working(ratios) }));
    const unit = forecastUnit('U1', { S1: 30, S2: 40 }, { reached: 0, here: true, worked: 0, holds: [hold], promise: minutesToPromise * MINUTE });
    return forecastInput(stations, [unit, forecastUnit('U2', { S1: 30, S2: 40 })]);
  };
  const latest = (input: ForecastInput, wanted?: number) => clearBy(compileLine(input), 3, 1_000, wanted)[0]!.latest;

  it('is the promise less the work that is left, when the work is known', () => {
    expect(latest(held(100))).toBe(30 * MINUTE);
    expect(latest(held(70))).toBe(0);
    expect(latest(held(69))).toBeNull();
    expect(latest(held(-5))).toBeNull();
  });

  it('is the earlier the surer one wants to be, and at it the probability holds, a minute later it does not', () => {
    const input = held(200, drawTable([0.6, 0.8, 1, 1.2, 1.9]));
    const instants = [0.5, 0.8, 0.95].map((wanted) => latest(input, wanted)!);
    expect(instants).toEqual([...instants].sort((a, b) => b - a));
    const compiled = compileLine(input);
    const share = (minutes: number): number => runsOf(run(withHoldCleared(compiled, 0, minutes), 3, 1_000), 'U1', 'ready').filter((ready) => ready <= 200).length / 1_000;
    expect(share(instants[1]! / MINUTE)).toBeGreaterThanOrEqual(0.8);
    expect(share(instants[1]! / MINUTE + 1)).toBeLessThan(0.8);
  });

  it('falls as the share in time does: clearing later never puts more runs in time', () => {
    const compiled = compileLine(held(200, drawTable([0.6, 0.8, 1, 1.2, 1.9])));
    fc.assert(fc.property(fc.nat(200), fc.nat(60), (early, more) => {
      const [first, second] = [early, early + more].map((minutes) => run(withHoldCleared(compiled, 0, minutes), 3, 200));
      expect(second!.ready.every((at, i) => at >= first!.ready[i]!)).toBe(true);
    }), { numRuns: 40 });
  });

  it('is told for every hold of a unit with a promise, and only for those', () => {
    const input = held(500);
    input.units[0]!.holds.push({ id: 'H2', keepsFrom: 'shipping', fromStation: null, left: constantTable(10) });
    input.units[1] = { ...input.units[1]!, holds: [{ id: 'H3', keepsFrom: 'work', fromStation: null, left: constantTable(10) }] };
    const found = clearBy(compileLine(input), 1, 100);
    expect(found.map(({ hold, unit }) => `${unit} ${hold}`)).toEqual(['U1 H1', 'U1 H2']);
    expect(found[1]!.latest).toBe(500 * MINUTE);
  });

  it('falls on the calendar of the line', () => {
    // Monday 06:00 local; ten working minutes of slack before a break at 09:00 when 70 minutes are left until 08:20.
    const at = Date.parse('2026-06-01T10:00Z');
    const time = workingTimeOf([{ version: 1, validFrom: 0, plant: calendarWc1 }], { line: 'L', station: null }, []);
    const input: ForecastInput = { ...held(0), at, calendar: calendarTable(time, at) };
    input.units[0]!.promise = Date.parse('2026-06-02T10:20Z');
    // By then 555 + 20 minutes are worked; 70 are needed: 505 into Monday, that is 15:10 after breaks of 45 minutes.
    expect(new Date(latest(input)!).toISOString()).toBe('2026-06-01T19:10:00.000Z');
  });
});

describe('stations with calendars of their own', () => {
  const at = Date.parse('2026-06-01T10:00Z');
  const minutes = (iso: string): number => (Date.parse(iso) - at) / 60_000;
  const calendarOf = (stretches: [string, string][]): CalendarTable => {
    const worked = { ...workingTimeOf([{ version: 1, validFrom: 0, plant: calendarWc1 }], { line: 'L', station: null }, []) };
    return calendarTable({ ...worked, stretches: () => stretches.map(([from, to]) => ({ from: Date.parse(from), to: Date.parse(to) })) }, at);
  };
  const line = calendarOf([['2026-06-01T10:00Z', '2026-06-01T18:00Z'], ['2026-06-02T10:00Z', '2026-06-02T18:00Z']]);
  const late = calendarOf([['2026-06-01T14:00Z', '2026-06-01T22:00Z'], ['2026-06-02T14:00Z', '2026-06-02T22:00Z']]);
  const twoStations = (roll: ForecastInput['roll'], own: CalendarTable | null): ForecastInput => forecastInput(
    [forecastStation('S1'), forecastStation('S2', { calendar: own })], ['U1', 'U2'].map((unit) => forecastUnit(unit, { S1: 60, S2: 120 })), { at, calendar: line, roll },
  );

  it('work when they are open, while the line goes on by its own', () => {
    // Without: 60, then 120 each: 13:00 and 15:00. With: station 2 opens at 14:00, so 16:00 and 18:00.
    expect(firstRun(go(twoStations('asReady', null)))).toEqual({ U1: minutes('2026-06-01T13:00Z'), U2: minutes('2026-06-01T15:00Z') });
    expect(firstRun(go(twoStations('asReady', late)))).toEqual({ U1: minutes('2026-06-01T16:00Z'), U2: minutes('2026-06-01T18:00Z') });
  });

  it('of a line that rolls together keep all of it', () => {
    // Rolls: 10:00 unit 1 in, 40 minutes on at the pace of 30 and the finish at 11:00 unit 2 in; unit 1 done at station 2 at 16:00.
    expect(firstRun(go(twoStations('together', late)))).toEqual({ U1: minutes('2026-06-01T16:00Z'), U2: minutes('2026-06-01T18:00Z') });
  });

  it('with the line\'s own calendar once more are the same as without', () => {
    const copy = { ...line };
    fc.assert(fc.property(fc.integer(), fc.constantFrom('asReady' as const, 'together' as const), fc.constantFrom(0, 0.3), (seed, roll, rate) => {
      const draws = { ...working(drawTable([0.5, 1, 1.5])), holds: { rate, minutes: constantTable(15) } };
      const withOwn = (own: CalendarTable | null): ForecastInput => ({ ...twoStations(roll, own), stations: [forecastStation('S1', { draws }), forecastStation('S2', { draws, calendar: own })] });
      const [first, second] = [go(withOwn(copy), 60, seed), go(withOwn(null), 60, seed)];
      first.exit.forEach((exit, i) => expect(exit).toBeCloseTo(second.exit[i]!, 6));
    }), { numRuns: 30 });
  });

  it('never happens what has no chance', () => {
    expect(never.rate).toBe(0);
    expect(compileLine(twoStations('asReady', null)).chances.mean.length).toBe(0);
  });
});
