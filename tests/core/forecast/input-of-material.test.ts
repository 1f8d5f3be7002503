import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { equally } from '../../../server/core/forecast/draws-from-history.ts';
import { afterLineMinutes } from '../../../server/core/forecast/after-line-minutes.ts';
import { AFTER_LINE } from '../../../server/core/forecast/after-line-codes.ts';
import { ensembleOf, runEnsemble } from '../../../server/core/forecast/ensemble.ts';
import type { AfterLineUnit, ForecastMaterial } from '../../../server/core/forecast/forecast-material.ts';
import { inputOfMaterial, knownOf, offLineId, shortId } from '../../../server/core/forecast/input-of-material.ts';
import { lineForecast } from '../../../server/core/forecast/line-forecast.ts';
import { behindThosePassing, pulledOffChance, stationsLeft } from '../../../server/core/forecast/off-line.ts';
import { rulesOfThumb } from '../../../server/core/forecast/rules-of-thumb.ts';
import { bayesianWeights } from '../../../server/core/forecast/weights.ts';
import { standingOf } from '../../../server/core/late.ts';
import type { Stay, UnitHistory } from '../../../server/core/timeline/line-history.ts';
import { aLine, aPlant, aStation, minute, MONDAY, setupOf } from '../../support/given.ts';
import { forecastUnit, mean } from '../../support/given-forecast.ts';

const working = (a: number, b: number): number => (b - a) / 60_000;
const stay = (unit: string, line: string, station: string, arrived: number, left: number | null): Stay =>
  ({ unit, line, station, arrived: minute(arrived), arrivedBy: `${unit}-${station}`, finished: null, left: left === null ? null : minute(left), leftHow: left === null ? null : 'scanned' });

/** A unit that left the line at `exit`, was inspected from `arrived` for ten minutes and released 20 later. */
function after(unit: string, exit: number, arrived: number | null, more: Partial<AfterLineUnit> = {}): AfterLineUnit {
  const stays = arrived === null ? [] : [stay(unit, 'INSP', 'I1', arrived, arrived + 10)];
  const released = arrived === null ? null : minute(arrived + 30);
  return { unit, model: 'M', options: [], exit: minute(exit), stays, released, gone: released, ...more };
}

function history(unit: string, stays: Stay[], more: Partial<UnitHistory> = {}): UnitHistory {
  return { unit, model: 'M', options: [], sequence: 1, plannedRelease: null, stays, holds: [], offLine: [], gone: null, ...more };
}

/** Two stations of 25 and 30 minutes, an inspection of 10, round the clock. */
function material(more: Partial<ForecastMaterial> = {}, units: UnitHistory[] = []): ForecastMaterial {
  const lines = [aLine([aStation('S1'), aStation('S2')]), aLine([aStation('I1', { kind: 'check' })], { code: 'INSP', purpose: 'inspection' })];
  const plant = aPlant(lines[0]!, { S1: 25, S2: 30, I1: 10 }, { lines });
  return { at: MONDAY, history: { line: 'MAIN', setups: setupOf(plant), units, stops: [], floorTime: [] }, visits: [], afterLine: [], pastHolds: [], pastOffLine: [], shorts: [], promises: [], loads: [], ...more };
}
const inputOf = (given: ForecastMaterial) => inputOfMaterial(given, knownOf(given)!);

describe('what units took after the line', () => {
  it('is the time to inspection, and from its end to the release', () => {
    const told = afterLineMinutes(material({ afterLine: [after('A', -500, -460), after('B', -300, -240)] }), working);
    expect(told).toEqual({ inspected: 1, touchUp: [40, 60], release: [20, 20], pickUp: [0, 0], mending: [] });
  });

  it('leaves out the queue: of one that came when the place fell free half of the other\'s stay is taken', () => {
    const told = afterLineMinutes(material({ afterLine: [after('A', -500, -460), after('B', -470, -450)] }), working);
    // It was ready between the other's coming, 10 minutes after its own exit, and the other's leave, 20 after.
    expect(told.touchUp).toEqual([40, 15]);
  });

  it('counts the release from the last hold cleared and short item fitted, and what outlasted inspection', () => {
    const shorts = [{ unit: 'A', id: 'x/0', what: 'Step', opened: minute(-520), fitted: minute(-435) }];
    const told = afterLineMinutes(material({ afterLine: [after('A', -500, -460)], shorts }), working);
    expect([told.release, told.mending]).toEqual([[5], [15]]);
  });

  it('says how many come to inspection, once ten were released', () => {
    const skipped = (n: number): AfterLineUnit => after(`N${n}`, -900 + n, null, { released: minute(-800), gone: minute(-700) });
    const inspected = (count: number): number => afterLineMinutes(material({ afterLine: [...Array.from({ length: count }, (_, n) => skipped(n)), after('A', -500, -460)] }), working).inspected;
    expect([inspected(5), inspected(19)]).toEqual([1, 0.05]);
  });
});

describe('the input of a whole line', () => {
  it('puts each unit past the line where it is', () => {
    const afterLine = [
      after('RELEASED', -300, -200, { gone: null }), after('DONE', -200, -100, { released: null, gone: null }), after('WAITS', -30, null),
      after('THERE', -60, -5, { released: null, gone: null, stays: [stay('THERE', 'INSP', 'I1', -5, null)] }),
    ].map((unit) => ({ ...unit, gone: null }));
    const { input } = inputOf(material({ afterLine }));
    expect(Object.fromEntries(input.units.map(({ unit, stage }) => [unit, [stage!.code, stage!.standing, stage!.worked]]))).toEqual({
      RELEASED: [AFTER_LINE.pickUp, true, 170], DONE: [AFTER_LINE.release, true, 90], THERE: ['I1', true, 5], WAITS: [AFTER_LINE.touchUp, true, 30],
    });
    expect(input.stages.map(({ code }) => code)).toEqual([AFTER_LINE.offLine, AFTER_LINE.touchUp, 'I1', AFTER_LINE.release, AFTER_LINE.pickUp]);
  });

  it('is the standard where nothing is known: line, inspection, and nothing else', () => {
    const told = lineForecast(material({ promises: [{ unit: 'U', promise: '2026-06-01' }] }, [history('U', [], { plannedRelease: minute(60) })]), { seed: 1, wanted: 0.8, parts: 1 })!;
    expect(told.units[0]).toMatchObject({ unit: 'U', p10: minute(125), p90: minute(125), missing: 0, promise: minute(1_440), byPace: minute(60 + 5 * 30), byMedians: minute(60) });
  });

  it('tells when a unit will be finished where zones of it are covered, in working minutes too, and of no other station', () => {
    const plant = aPlant(aLine([aStation('S1', { covers: ['wall'] }), aStation('S2'), aStation('S3', { covers: ['roof'] })]), { S1: 25, S2: 30, S3: 15 });
    const given = (units: UnitHistory[], floor: Partial<ForecastMaterial['history']> = {}) => material({ history: { line: 'MAIN', setups: setupOf(plant), units, stops: [], floorTime: [], ...floor } });
    const outlook = (one: ForecastMaterial) => lineForecast(one, { seed: 1, wanted: 0.8, parts: 1 })!.units[0]!.covering;
    expect(outlook(given([history('U', [], { plannedRelease: minute(60) })]))).toEqual([{ station: 'S1', at: minute(85), minutes: 85 }, { station: 'S3', at: minute(130), minutes: 130 }]);
    // Twelve of its minutes at S2 are done: what was covered behind it is told no more.
    expect(outlook(given([history('U', [stay('U', 'MAIN', 'S2', -12, null)])]))).toEqual([{ station: 'S3', at: minute(33), minutes: 33 }]);
  });

  it('keeps a unit by what is missing on it, and one that is off the line until it is back', () => {
    const off = history('OFF', [stay('OFF', 'MAIN', 'S1', -100, -50)], { offLine: [{ from: minute(-50), to: null }] });
    const shorts = [{ unit: 'ON', id: 's/0', what: 'Step', opened: minute(-40), fitted: null }, { unit: 'X', id: 'x/0', what: 'Step', opened: minute(-900), fitted: minute(-800) }];
    const given = material({ shorts, pastOffLine: [{ from: minute(-900), to: minute(-780) }] }, [off, history('ON', [stay('ON', 'MAIN', 'S1', -20, null)], { sequence: 2 })]);
    const { input } = inputOf(given);
    const holds = Object.fromEntries(input.units.map(({ unit, holds: own }) => [unit, own.map(({ id, keepsFrom, left }) => [id, keepsFrom, left[0]])]));
    expect(holds).toEqual({ ON: [[shortId('s/0'), 'shipping', 60]], OFF: [[offLineId('OFF'), 'work', 70]] });
    // It is back in 70 minutes: the other one passes it.
    expect(input.units.map(({ unit }) => unit)).toEqual(['ON', 'OFF']);
  });

  it('has no line that the set-up does not have', () => {
    const given = material();
    expect(knownOf({ ...given, history: { ...given.history, line: 'NONE' } })).toBeNull();
    expect(lineForecast({ ...given, history: { ...given.history, line: 'NONE' } }, { seed: 1, wanted: 0.8 })).toBeNull();
  });

  it('takes what was spent off the median, and counts touch-up and release as a station each', () => {
    const given = material({ afterLine: [after('A', -500, -460)], visits: [] }, [history('U', [stay('U', 'MAIN', 'S2', -12, null)])]);
    const dwell = (station: string, minutes: number) => ({ unit: 'P', station, notScanned: false, arrived: minute(-900), left: minute(-800), finished: minute(-800), leftHow: 'scanned' as const, standard: 30, dwell: minutes, causes: [], minutes: { held: 0, blocked: 0, rollLag: 0, stopped: 0, work: minutes } });
    const rules = rulesOfThumb(inputOf(given), [dwell('S2', 34), dwell('S2', 38), dwell('S2', 60), dwell('I1', 11)]);
    // Station 2, touch-up, inspection, release; 38 - 12 + 40 + 11 + 20.
    expect(rules.get('U')).toEqual({ pace: 4 * 30, medians: 38 - 12 + 40 + 11 + 20 });
  });
});

describe('units off the line', () => {
  const on = (unit: string, reached: number, worked = 0) => forecastUnit(unit, { S1: 30, S2: 30, S3: 30 }, { reached, here: true, worked });
  const off = forecastUnit('OFF', { S1: 30, S2: 30, S3: 30 }, { reached: 1, here: false });
  const order = (left: number): string => behindThosePassing([off, on('A', 1, 10), on('B', 0)], new Map([['OFF', [left]]])).map(({ unit }) => unit).join(' ');

  it('come back behind those that at standard are there before', () => {
    expect([order(5), order(25), order(65)]).toEqual(['OFF A B', 'A OFF B', 'A B OFF']);
  });

  it('make no difference to a line without any', () => {
    const units = [on('A', 1), on('B', 0)];
    expect(behindThosePassing(units, new Map())).toEqual(units);
  });

  it('are the likelier the more stations are left, as often as visits ended so', () => {
    const visit = (leftHow: 'scanned' | 'pulledOff') => ({ unit: 'P', station: 'S1', notScanned: false, arrived: 0, left: 1, finished: 1, leftHow, standard: 1, dwell: 1, causes: [], minutes: { held: 0, blocked: 0, rollLag: 0, stopped: 0, work: 1 } });
    const visits = [...Array.from({ length: 9 }, () => visit('scanned')), visit('pulledOff')];
    expect([0, 1, 2].map((left) => pulledOffChance(visits, left))).toEqual([0, expect.closeTo(0.1, 12), expect.closeTo(0.19, 12)]);
    expect(pulledOffChance([], 5)).toBe(0);
    expect([stationsLeft(on('A', 1)), stationsLeft(off)]).toEqual([2, 1]);
  });
});

describe('the history weighed by chance', () => {
  it('has exponential weights of mean 1, the same for the same part', () => {
    const draw = (seed: number, part: number): number[] => {
      const weigh = bayesianWeights(seed, part);
      return Array.from({ length: 20_000 }, weigh);
    };
    const weights = draw(5, 2);
    // Mean and variance of an exponential of mean 1 are 1: four standard errors, 1/√n and √8/√n.
    expect(Math.abs(mean(weights) - 1)).toBeLessThan(4 / Math.sqrt(20_000));
    expect(Math.abs(mean(weights.map((weight) => (weight - 1) ** 2)) - 1)).toBeLessThan((4 * Math.sqrt(8)) / Math.sqrt(20_000));
    expect(draw(5, 2)).toEqual(weights);
    expect(draw(5, 3)).not.toEqual(weights);
    expect(equally()).toBe(1);
  });

  it('makes a forecast of many units from a short history wider, and of no history not at all', () => {
    const visit = (n: number) => ({ unit: `P${n}`, station: 'S1', notScanned: false, arrived: minute(-2_000 + n), left: minute(-1_900 + n), finished: minute(-1_900 + n), leftHow: 'scanned' as const, standard: 25, dwell: 25, causes: [], minutes: { held: 0, blocked: 0, rollLag: 0, stopped: 0, work: n % 2 === 0 ? 15 : 35 } });
    const units = Array.from({ length: 30 }, (_, i) => history(`U${i}`, [], { sequence: i, plannedRelease: minute(0) }));
    const spread = (visits: ForecastMaterial['visits'], parts: number): number => {
      const { members } = ensembleOf(material({ visits }, units), 3, undefined, parts)!;
      const { ready, runs } = runEnsemble(members, 3);
      const last = Array.from(ready.subarray(29 * runs, 30 * runs)).sort((a, b) => a - b);
      return last[Math.floor(0.9 * runs)]! - last[Math.floor(0.1 * runs)]!;
    };
    const seen = Array.from({ length: 12 }, (_, n) => visit(n));
    expect(spread(seen, 8)).toBeGreaterThan(1.15 * spread(seen, 1));
    expect(spread([], 4)).toBe(0);
  });

  it('gives the same forecast for the same seed, and another for another', () => {
    const visits = Array.from({ length: 10 }, (_, n) => ({ unit: `P${n}`, station: 'S1', notScanned: false, arrived: minute(-2_000 + n), left: minute(-1_900 + n), finished: minute(-1_900), leftHow: 'scanned' as const, standard: 25, dwell: 25, causes: [], minutes: { held: 0, blocked: 0, rollLag: 0, stopped: 0, work: 10 + 3 * n } }));
    const given = material({ visits }, [history('U', [], { plannedRelease: minute(10) })]);
    const told = (seed: number) => lineForecast(given, { seed, wanted: 0.8, parts: 2, timesOnly: true })!.units[0]!.levels;
    expect(told(4)).toEqual(told(4));
    expect(told(4)).not.toEqual(told(5));
  });
});

describe('how a unit stands against its promise', () => {
  it('is late once the promise ran out, at risk above the threshold, else in time', () => {
    expect(standingOf(null, null, null, 5, 0.2)).toBeNull();
    expect(standingOf(10, null, 1, 11, 0.2)).toBe('late');
    expect(standingOf(10, 9, 0, 11, 0.2)).toBe('inTime');
    expect(standingOf(10, 12, 1, 20, 0.2)).toBe('late');
    fc.assert(fc.property(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0.01, max: 0.99, noNaN: true }), (missing, threshold) => {
      expect(standingOf(10, null, missing, 10, threshold)).toBe(missing > threshold ? 'atRisk' : 'inTime');
    }));
  });
});
