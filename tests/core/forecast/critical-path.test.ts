import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { criticalShares } from '../../../server/core/forecast/critical-path.ts';
import { constantTable, drawTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastInput } from '../../../server/core/forecast/forecast-input.ts';
import { run } from '../../../server/core/forecast/run.ts';
import { arbitraryLine } from '../../support/arbitrary-line.ts';
import { alwaysWorking, forecastInput, forecastStage, forecastStation, forecastUnit, working } from '../../support/given-forecast.ts';

const RATIOS = drawTable([0.61, 0.83, 1.07, 1.31, 1.93, 2.57]);

/** Codes of the stations with a share, by unit. */
function shares(input: ForecastInput, runs = 1): Record<string, Record<string, number>> {
  const { codes, shares: all } = criticalShares(compileLine(input), 1, runs);
  return Object.fromEntries(input.units.map(({ unit }, u) => [unit, Object.fromEntries(codes.flatMap((code, s) => (all[u * codes.length + s]! > 0 ? [[code, all[u * codes.length + s]!]] : [])))]));
}

/** The stations a little more work at which makes each unit later in the first run: what being on its critical path means. */
function later(input: ForecastInput): Record<string, string[]> {
  const ready = (one: ForecastInput): Float64Array => run(compileLine(one), 1, 1).ready;
  const before = ready(input);
  const found: Record<string, string[]> = Object.fromEntries(input.units.map(({ unit }) => [unit, []]));
  const told = (code: string, after: Float64Array): void => input.units.forEach(({ unit }, u) => {
    if (after[u]! > before[u]! + 1e-9) found[unit]!.push(code);
  });
  const more = 1 + 1e-6;
  for (const { code } of input.stations) told(code, ready({ ...input, stations: input.stations.map((station) => (station.code === code ? { ...station, draws: working(station.draws.ratios.map((ratio) => ratio * more)) } : station)) }));
  for (const { code } of input.stages) told(code, ready({ ...input, stages: input.stages.map((stage) => (stage.code === code ? { ...stage, minutes: stage.minutes.map((minutes) => minutes * more) } : stage)) }));
  return found;
}

/** No two visits take the same time, so that of two things waited for one is later. */
function apart(input: ForecastInput): ForecastInput {
  const units = input.units.map((unit, u) => ({
    ...unit, worked: unit.worked === null ? null : 0, plannedRelease: unit.plannedRelease === null ? null : unit.plannedRelease + 0.0137 * u,
    route: unit.route.map((step, j) => ({ ...step, standard: step.standard === 0 ? 0 : step.standard + 0.0171 * u + 0.00113 * j + 0.000059 * u * u * j })),
  }));
  return { ...input, units };
}

describe('the critical path', () => {
  it('is the stations a little more work at which makes the unit later, and no other', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), (line) => {
      const input = apart(line);
      const found = shares(input);
      for (const [unit, codes] of Object.entries(later(input))) expect([unit, Object.keys(found[unit]!).sort()]).toEqual([unit, codes.sort()]);
    }), { numRuns: 250 });
  });

  it('goes on through the stages after the line', () => {
    // So many values that two units hardly ever draw the same.
    const stage = (code: string, servers: number | null, least: number) => forecastStage(code, { capacity: servers, minutes: Float64Array.from({ length: 2 ** 14 }, (_, i) => least + (i * least) / 4_001.7) });
    fc.assert(fc.property(arbitraryLine(RATIOS), fc.integer({ min: 1, max: 2 }), (line, servers) => {
      const input = apart({ ...line, stages: [stage('TOUCH', null, 3.31), stage('PDI', servers, 31.3), stage('RELEASE', 1, 2.17)] });
      const found = shares(input);
      for (const [unit, codes] of Object.entries(later(input))) expect([unit, Object.keys(found[unit]!).sort()]).toEqual([unit, codes.sort()]);
    }), { numRuns: 120 });
  });

  it('is the same on a line in wall-clock time as on one in working minutes', () => {
    fc.assert(fc.property(arbitraryLine(RATIOS), (line) => {
      const input = apart(line);
      const own = alwaysWorking();
      expect(shares({ ...input, stations: input.stations.map((station) => ({ ...station, calendar: own })) })).toEqual(shares(input));
    }), { numRuns: 60 });
  });

  it('of a unit that is alone is its whole route', () => {
    const stations = ['S1', 'S2', 'S3'].map((code) => forecastStation(code));
    expect(shares(forecastInput(stations, [forecastUnit('U1', { S1: 10, S2: 0, S3: 5 })]))).toEqual({ U1: { S1: 1, S3: 1 } });
  });

  it('of a unit that waits runs through the one that it waits for', () => {
    // Unit 2 is finished at station 1 at 20 and waits until unit 1 leaves station 2 at 60: station 1 on account of unit 1, then station 2 twice.
    const stations = ['S1', 'S2', 'S3'].map((code) => forecastStation(code));
    const units = ['U1', 'U2'].map((unit) => forecastUnit(unit, { S1: 10, S2: 50, S3: 5 }));
    expect(shares(forecastInput(stations, units))).toEqual({ U1: { S1: 1, S2: 1, S3: 1 }, U2: { S1: 1, S2: 1, S3: 1 } });
    const standing = [forecastUnit('U1', { S1: 10, S2: 50, S3: 5 }, { reached: 1, here: true, worked: 0 }), units[1]!];
    expect(shares(forecastInput(stations, standing))).toEqual({ U1: { S2: 1, S3: 1 }, U2: { S2: 1, S3: 1 } });
  });

  it('is told as a share of the runs', () => {
    // Two servers in a row of which now one, now the other is slower: the shares of the first station for unit 2 lie strictly between 0 and 1.
    const stations = ['S1', 'S2'].map((code) => forecastStation(code, { draws: working(RATIOS) }));
    const units = [forecastUnit('U1', { S1: 10, S2: 40 }, { reached: 1, here: true, worked: 0 }), forecastUnit('U2', { S1: 40, S2: 10 })];
    const { U2 } = shares(forecastInput(stations, units), 3_000);
    expect(U2!.S2).toBe(1);
    expect(U2!.S1).toBeGreaterThan(0.3);
    expect(U2!.S1).toBeLessThan(0.7);
  });

  it('leaves out what only waits for a hold', () => {
    const hold = { id: 'H', keepsFrom: 'leaving' as const, fromStation: null, left: constantTable(500) };
    const input = forecastInput([forecastStation('S1'), forecastStation('S2')], [forecastUnit('U1', { S1: 10, S2: 7 }, { reached: 0, here: true, worked: 0, holds: [hold] })]);
    expect(shares(input)).toEqual({ U1: { S2: 1 } });
  });

  it('tells of up to 64 stations and stages, and refuses more', () => {
    const stations = Array.from({ length: 63 }, (_, i) => forecastStation(`S${i}`));
    const unit = forecastUnit('U1', Object.fromEntries(stations.map(({ code }) => [code, 1])));
    const input = forecastInput(stations, [unit], { stages: [forecastStage('PDI')] });
    expect(Object.keys(shares(input).U1!).length).toBe(64);
    expect(() => shares({ ...input, stages: [...input.stages, forecastStage('RELEASE')] })).toThrow(/64/);
  });
});
