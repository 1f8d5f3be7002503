import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import type { LeftHow, Stay, UnitHistory } from '../../../server/core/timeline/line-history.ts';
import { exitsOf, plannedExits, shiftStartedBy } from '../../../server/core/timeline/line-output.ts';
import { aLine, aPlant, aStation, minute, setupOf } from '../../support/given.ts';

// Pace as in definitions §4: working minutes of the period ÷ units planned in it.
const line = aLine([aStation('A'), aStation('B'), aStation('C')]);
const weekdays = ['mon', 'tue', 'wed', 'thu', 'fri'] as const;
const shift = (name: string, start: string, end: string) => ({ name, start, end, breaks: [{ start: '09:00', end: '09:15' }], weekdays: [...weekdays] });
const calendars = [{ code: 'always', shifts: [shift('Day', '06:00', '14:30'), shift('Late', '15:00', '23:00')], exceptions: [] }];
const plant = aPlant(line, { A: 10, B: 10, C: 10 }, { calendars });
const time = workingTimeOf(setupOf(plant), { line: 'MAIN', station: null }, []);
const clock = (day: number, hour: number, min = 0) => minute(day * 1440 + hour * 60 + min);

function stay(unit: string, station: string, left: number | null, more: Partial<Stay> = {}): Stay {
  const leftHow: LeftHow | null = left === null ? null : 'scanned';
  return { unit, line: 'MAIN', station, arrived: 0, arrivedBy: `${unit}-${station}`, finished: null, left, leftHow, ...more };
}

function history(unit: string, stays: Stay[], model = 'M'): UnitHistory {
  return { unit, model, options: [], sequence: 1, plannedRelease: null, stays, holds: [], offLine: [], gone: null };
}

const exits = (units: UnitHistory[], from = 0, to = Number.MAX_SAFE_INTEGER) => exitsOf(plant, line, units, from, to).map(({ unit }) => unit);

describe('shiftStartedBy', () => {
  it('is the start of the shift, of its first instant on', () => {
    expect(shiftStartedBy(time, clock(0, 6))).toBe(clock(0, 6));
    expect(shiftStartedBy(time, clock(0, 14, 29))).toBe(clock(0, 6));
    expect(shiftStartedBy(time, clock(0, 15))).toBe(clock(0, 15));
  });

  it('stays with the shift before, between two and over the weekend', () => {
    expect(shiftStartedBy(time, clock(0, 14, 45))).toBe(clock(0, 6));
    expect(shiftStartedBy(time, clock(6, 12))).toBe(clock(4, 15));
    expect(shiftStartedBy(time, clock(7, 5, 59))).toBe(clock(4, 15));
  });

  it('is unknown where nobody works', () => {
    const closed = aPlant(line, {}, { calendars: [{ code: 'always', shifts: [], exceptions: [] }] });
    expect(shiftStartedBy(workingTimeOf(setupOf(closed), { line: 'MAIN', station: null }, []), clock(0, 6))).toBeNull();
  });
});

describe('plannedExits', () => {
  it('is working minutes by pace, whole units, the break not counted', () => {
    expect(plannedExits(time, clock(0, 6), clock(0, 6, 29), 30)).toBe(0);
    expect(plannedExits(time, clock(0, 6), clock(0, 6, 30), 30)).toBe(1);
    expect(plannedExits(time, clock(0, 6), clock(0, 9), 30)).toBe(6);
    expect(plannedExits(time, clock(0, 6), clock(0, 9, 15), 30)).toBe(6);
    expect(plannedExits(time, clock(0, 6), clock(0, 9, 45), 30)).toBe(7);
    // 510 minutes less 15: 495 ÷ 56 = 8.8.
    expect(plannedExits(time, clock(0, 6), clock(0, 14, 30), 56)).toBe(8);
  });

  it('plans nothing without pace or before its beginning', () => {
    expect(plannedExits(time, clock(0, 6), clock(0, 9), 0)).toBe(0);
    expect(plannedExits(time, clock(0, 9), clock(0, 6), 30)).toBe(0);
  });

  it('loses no unit to rounding, and never falls as time goes on', () => {
    fc.assert(fc.property(fc.double({ min: 1, max: 90, noNaN: true }), fc.integer({ min: 1, max: 5 }), (pace, units) => {
      const to = time.addWorking(clock(0, 6), pace * units);
      expect(Math.abs(plannedExits(time, clock(0, 6), to + 1, pace) - units)).toBeLessThanOrEqual(0);
      expect(plannedExits(time, clock(0, 6), to + 60_000, pace)).toBeGreaterThanOrEqual(units);
    }));
  });
});

describe('exitsOf', () => {
  it('counts who left the last station, in order of leaving', () => {
    expect(exits([history('U2', [stay('U2', 'C', 30)]), history('U1', [stay('U1', 'B', 10), stay('U1', 'C', 20)])])).toEqual(['U1', 'U2']);
  });

  it('does not count who is there still, or further up the line', () => {
    expect(exits([history('U1', [stay('U1', 'C', null)]), history('U2', [stay('U2', 'B', 10)])])).toEqual([]);
  });

  it('holds the edges: from the first instant on, the last not', () => {
    const units = [history('U1', [stay('U1', 'C', 10)]), history('U2', [stay('U2', 'C', 20)])];
    expect(exits(units, 10, 20)).toEqual(['U1']);
    expect(exits(units, 11, 21)).toEqual(['U2']);
  });

  it('does not count a unit pulled off at the end, or a stay on another line', () => {
    expect(exits([history('U1', [stay('U1', 'C', 10, { leftHow: 'pulledOff' })]), history('U2', [stay('U2', 'C', 10, { line: 'OTHER' })])])).toEqual([]);
  });

  it('ends where the route of the model ends', () => {
    const short = { ...plant, models: [...plant.models, { code: 'SHORT', name: 'Short', length: 6, standards: { A: 10, B: 10 } }] };
    const units = [history('U1', [stay('U1', 'B', 10)], 'SHORT'), history('U2', [stay('U2', 'B', 10)])];
    expect(exitsOf(short, line, units, 0, 100)).toEqual([{ line: 'MAIN', unit: 'U1', left: 10 }]);
  });

  it('counts a unit that came back once, at its last leaving', () => {
    expect(exitsOf(plant, line, [history('U1', [stay('U1', 'C', 10), stay('U1', 'C', 40)])], 0, 100)).toEqual([{ line: 'MAIN', unit: 'U1', left: 40 }]);
  });
});
