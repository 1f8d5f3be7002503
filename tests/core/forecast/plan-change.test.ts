import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { constantTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastMaterial } from '../../../server/core/forecast/forecast-material.ts';
import { changedHolds, changedInput, changedMaterial, type PlanChange } from '../../../server/core/forecast/plan-change.ts';
import { run } from '../../../server/core/forecast/run.ts';
import type { CalendarException } from '../../../server/core/setup/plant.ts';
import { aLine, aPlant, aStation, minute, MONDAY, setupOf } from '../../support/given.ts';
import { firstRun, forecastInput, forecastStage, forecastStation, forecastUnit } from '../../support/given-forecast.ts';

const DAY = 86_400_000;

/** A plant of one shift, 06:00 to 14:00 UTC with half an hour of break, Monday to Friday. */
function material(exceptions: CalendarException[] = []): ForecastMaterial {
  const weekdays = ['mon', 'tue', 'wed', 'thu', 'fri'] as const;
  const shift = { name: 'Day', start: '06:00', end: '14:00', breaks: [{ start: '10:00', end: '10:30' }], weekdays: [...weekdays] };
  const plant = aPlant(aLine([aStation('S1')], { calendar: 'day' }), { S1: 10 }, { calendars: [{ code: 'day', shifts: [shift], exceptions }] });
  return { at: MONDAY, history: { line: 'MAIN', setups: setupOf(plant), units: [], stops: [], floorTime: [] }, visits: [], afterLine: [], pastHolds: [], pastOffLine: [], shorts: [], promises: [], loads: [] };
}

/** Working minutes of each of the seven days from Monday, as changed. */
function week(changes: PlanChange[], exceptions: CalendarException[] = []): number[] {
  const { setups } = changedMaterial(material(exceptions), changes).history;
  const time = workingTimeOf(setups, { line: 'MAIN', station: null }, []);
  return Array.from({ length: 7 }, (_, day) => time.workingBetween(MONDAY + day * DAY, MONDAY + (day + 1) * DAY));
}

describe('the calendars of a changed plan', () => {
  it('are today\'s without a change', () => {
    expect(week([])).toEqual([450, 450, 450, 450, 450, 0, 0]);
  });

  it('have overtime after the last shift of each day that has one, and no other day', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 240 }), (minutes) => {
      expect(week([{ kind: 'overtime', from: '2026-06-02', to: '2026-06-07', minutes }])).toEqual([450, 450 + minutes, 450 + minutes, 450 + minutes, 450 + minutes, 0, 0]);
    }), { numRuns: 30 });
  });

  it('have one overtime on top of another, and none on a closed day', () => {
    const twice: PlanChange[] = [60, 30].map((minutes) => ({ kind: 'overtime', from: '2026-06-01', to: '2026-06-02', minutes }));
    expect(week(twice, [{ date: '2026-06-02', kind: 'closed', shifts: [], note: '' }]).slice(0, 3)).toEqual([540, 0, 450]);
  });

  it('work a Saturday as a first shift, once, and also where the day was said to be closed', () => {
    expect(week([{ kind: 'extraDay', date: '2026-06-06' }])[5]).toBe(450);
    expect(week([{ kind: 'extraDay', date: '2026-06-06' }, { kind: 'extraDay', date: '2026-06-06' }])[5]).toBe(450);
    expect(week([{ kind: 'extraDay', date: '2026-06-05' }], [{ date: '2026-06-05', kind: 'closed', shifts: [], note: '' }])[4]).toBe(450);
    expect(week([{ kind: 'extraDay', date: '2026-06-03' }])).toEqual(week([]));
  });

  it('may run past midnight', () => {
    expect(week([{ kind: 'overtime', from: '2026-06-01', to: '2026-06-01', minutes: 660 }]).slice(0, 2)).toEqual([450 + 600, 450 + 60]);
  });

  it('leave the material that they are made from as it was', () => {
    const before = material();
    const copy = structuredClone(before);
    changedMaterial(before, [{ kind: 'overtime', from: '2026-06-01', to: '2026-06-05', minutes: 60 }]);
    expect(before).toEqual(copy);
  });
});

describe('the input of a changed plan', () => {
  const units = ['A', 'B', 'C'].map((unit, i) => forecastUnit(unit, { S1: 30, S2: 20 }, { plannedRelease: 40 * i }));
  const input = forecastInput([forecastStation('S1'), forecastStation('S2')], units, { stages: [forecastStage('PDI', { capacity: 1, minutes: constantTable(60) })] });
  const exits = (changes: PlanChange[]) => firstRun(run(compileLine(changedInput(input, changes)), 1, 1), 'ready');

  it('is today\'s without a change', () => {
    expect(changedInput(input, [])).toEqual(input);
    expect(exits([])).toEqual({ A: 110, B: 170, C: 230 });
  });

  it('has work at a station in less time, by standard or by more people', () => {
    expect(exits([{ kind: 'standard', station: 'S1', lessPercent: 50 }]).A).toBe(95);
    expect(exits([{ kind: 'heads', station: 'S1', planned: 2, heads: 3 }]).A).toBe(100);
    expect(exits([{ kind: 'standard', station: 'PDI', lessPercent: 50 }])).toEqual({ A: 80, B: 120, C: 160 });
  });

  it('has more places where it says, at a station of inspection too', () => {
    expect(exits([{ kind: 'places', station: 'PDI', places: 2 }])).toEqual({ A: 110, B: 150, C: 190 });
  });

  it('builds a unit before another, and keeps the planned releases in their order', () => {
    const changed = changedInput(input, [{ kind: 'sequence', unit: 'C', before: 'A' }]);
    expect(changed.units.map(({ unit, plannedRelease }) => [unit, plannedRelease])).toEqual([['C', 0], ['A', 40], ['B', 80]]);
    expect(exits([{ kind: 'sequence', unit: 'C', before: 'A' }])).toEqual({ C: 110, A: 170, B: 230 });
  });

  it('moves nothing for a unit that is released, not there, or put before itself', () => {
    const onLine = { ...input, units: [{ ...units[0]!, reached: 0, here: true, worked: 0 }, ...units.slice(1)] };
    for (const change of [{ unit: 'A', before: 'C' }, { unit: 'C', before: 'A' }, { unit: 'X', before: 'B' }, { unit: 'B', before: 'B' }]) {
      expect(changedInput(onLine, [{ kind: 'sequence', ...change }]).units).toEqual(onLine.units);
    }
  });

  it('with less standard is never later, for any unit of the line', () => {
    fc.assert(fc.property(fc.constantFrom('S1', 'S2', 'PDI'), fc.integer({ min: 1, max: 90 }), (station, lessPercent) => {
      const [before, after] = [exits([]), exits([{ kind: 'standard', station, lessPercent }])];
      for (const unit of ['A', 'B', 'C']) expect(after[unit]!).toBeLessThanOrEqual(before[unit]! + 1e-9);
    }), { numRuns: 40 });
  });
});

describe('a hold of a changed plan', () => {
  it('is cleared when it says, and not before now', () => {
    const hold = { id: 'H', keepsFrom: 'work' as const, fromStation: null, left: constantTable(500) };
    const compiled = compileLine(forecastInput([forecastStation('S1')], [forecastUnit('A', { S1: 30 }, { reached: 0, here: true, worked: 0, holds: [hold] })], { at: MONDAY }));
    const exit = (changes: PlanChange[]): number => firstRun(run(changedHolds(compiled, changes), 1, 1)).A!;
    expect(exit([])).toBe(530);
    expect(exit([{ kind: 'clearHold', unit: 'A', hold: 'H', at: minute(45) }])).toBe(75);
    expect(exit([{ kind: 'clearHold', unit: 'A', hold: 'H', at: minute(-45) }])).toBe(30);
    expect(exit([{ kind: 'clearHold', unit: 'A', hold: 'OTHER', at: minute(45) }])).toBe(530);
  });
});
