import { describe, expect, it } from 'vitest';
import { demoPlant, simulateDemo } from '../../../seed/load-demo.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnits } from '../../../server/core/facts/line-history-of.ts';
import { countPassages, countPointsOf } from '../../../server/core/rates/count-points.ts';
import { shiftCounts } from '../../../server/core/rates/shift-counts.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';

/** A unit each 60 minutes; Day 06:00–14:00 with half an hour of break, Late 14:00–22:00, on every day: 7.5 and 8 units. */
const everyDay = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
const calendar = {
  code: 'always', exceptions: [], shifts: [
    { name: 'Day', start: '06:00', end: '14:00', breaks: [{ start: '10:00', end: '10:30' }], weekdays: [...everyDay] }, { name: 'Late', start: '14:00', end: '22:00', breaks: [], weekdays: [...everyDay] },
  ],
};
const line = aLine([aStation('S1'), aStation('S2')], { pace: 60 });
const setups = setupOf(aPlant(line, { S1: 10, S2: 10 }, { calendars: [calendar] }));
const shiftOf = (name: 'Day' | 'Late', day = 1) => ({ name, date: `2026-06-0${day}`, start: minute((day - 1) * 1_440 + (name === 'Day' ? 360 : 840)), end: minute((day - 1) * 1_440 + (name === 'Day' ? 840 : 1_320)) });
const built = (unit: string, off: number): Fact[] => [registered(unit), at(off - 20, 'arrive', { unit, station: 'S1' }), at(off - 10, 'arrive', { unit, station: 'S2' }), at(off - 1, 'finish', { unit, station: 'S2' }), at(off, 'leave', { unit, station: 'S2' })];
const told = (facts: Fact[], shift: ReturnType<typeof shiftOf>, m: number) => new Map(shiftCounts({ setups, units: foldUnits(facts, setups), facts, shift, at: minute(m) }).map((count) => [count.point, count]));

describe('the counts of a shift', () => {
  const facts = [...built('A', 400), ...built('B', 700), ...built('C', 900), ...built('D', 1_440 + 400), at(905, 'release', { unit: 'A' }), at(910, 'ship', { unit: 'A', carrier: '' })];

  it('are what passed each point in its hours, against what calendar and pace plan for them', () => {
    const day = told(facts, shiftOf('Day'), 839);
    expect(day.get('offLine')!.shift).toMatchObject({ counted: 2, assumed: 0, planned: 7.5 });
    expect(day.get('offLine')!.shift.plannedByNow).toBeCloseTo(449 / 60, 9);
    expect(day.get('shipped')!.shift.counted).toBe(0);
    const late = told(facts, shiftOf('Late'), 1_320);
    expect(late.get('offLine')).toMatchObject({ shift: { counted: 1, planned: 8, plannedByNow: 8 }, day: { counted: 3, planned: 15.5, plannedByNow: 15.5 } });
    expect(late.get('released')!.shift.counted).toBe(1);
  });

  it('know nothing of what comes later, and plan only what is past by then', () => {
    const early = told(facts, shiftOf('Day'), 660).get('offLine')!;
    expect(early).toMatchObject({ shift: { counted: 1, planned: 7.5, plannedByNow: 4.5 }, day: { counted: 1, planned: 15.5, plannedByNow: 4.5 } });
    expect(told(facts, shiftOf('Day'), 360).get('offLine')!.shift).toMatchObject({ counted: 0, plannedByNow: 0 });
  });

  it('of the month are to date, with what each day that is left has to bring', () => {
    const { month } = told(facts, shiftOf('Day', 2), 1_440 + 420).get('offLine')!;
    expect(month).toMatchObject({ first: '2026-06-01', counted: 4, remainingDays: 29 });
    expect(month.planned).toBeCloseTo(30 * 15.5, 9);
    expect(month.plannedByNow).toBeCloseTo(15.5 + 1, 9);
    expect(month.neededPerDay).toBeCloseTo((30 * 15.5 - 4) / 29, 9);
    expect(month.neededPace).toBeCloseTo((30 * 930 - 930 - 60) / (30 * 15.5 - 4), 9);
  });

  it('say how many were not scanned at the point', () => {
    const forgotten = [registered('A'), at(400, 'arrive', { unit: 'A', station: 'S1' }), at(500, 'ship', { unit: 'A', carrier: '' })];
    expect(told(forgotten, shiftOf('Day'), 800).get('offLine')!).toMatchObject({ shift: { counted: 1, assumed: 1 }, day: { assumed: 1 }, month: { assumed: 1 } });
  });

  it('are none in a plant with nothing, which has its plan nevertheless', () => {
    for (const count of told([], shiftOf('Day'), 600).values()) expect(count).toMatchObject({ shift: { counted: 0, planned: 7.5 }, month: { counted: 0 } });
  });
});

describe('the counts of two weeks of the demo plant, shift by shift', () => {
  it('add up to what the count points say', () => {
    const now = Date.parse('2026-11-25T23:40:00Z');
    const plant = demoPlant(now);
    const demo = [{ version: 1, validFrom: now - 60 * 86_400_000, plant }];
    const facts = simulateDemo({ plant, now, seed: 7, speed: 1 }, 14).factsUntil(now);
    const units = foldUnits(facts, demo);
    const shifts = workingTimeOf(demo, { line: 'MAIN', station: null }, []).shiftsBetween(now - 15 * 86_400_000, now);
    const counts = shifts.map((shift, i) => shiftCounts({ setups: demo, units, facts, shift, at: (shifts[i + 1]?.start ?? now + 1) - 1 }));
    countPointsOf(plant).forEach((point, i) => {
      const all = countPassages(point, demo, units, facts, now);
      expect(all.length).toBeGreaterThan(20);
      expect(counts.reduce((sum, count) => sum + count[i]!.shift.counted, 0)).toBe(all.length);
    });
  });
});
