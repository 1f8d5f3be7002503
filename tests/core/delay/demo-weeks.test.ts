import { describe, expect, it } from 'vitest';
import { demoPlant, simulateDemo } from '../../../seed/load-demo.ts';
import { lineDelay } from '../../../server/core/delay/line-delay.ts';
import { lineDelayByShift, sumOfShifts, sumsByDay } from '../../../server/core/delay/line-delay-by-shift.ts';
import { projectLine } from '../../../server/core/delay/projection.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';

// The demo plant scans as floors do: arrivals forgotten, finishes left out, units left short, pulled off, too many in one place.
const NOW = Date.parse('2026-06-05T18:00:00Z');
const MS_PER_DAY = 86_400_000;
const plant = demoPlant(NOW);
const start = NOW - 21 * MS_PER_DAY;
const facts = simulateDemo({ plant, now: NOW, seed: 11, speed: 1 }, 21).factsUntil(NOW);
const setups = [{ version: 1, validFrom: start - MS_PER_DAY, plant }];

describe.each(['MAIN', 'PDI'])('line delay of the demo plant, line %s', (line) => {
  const history = lineHistoryOf(line, setups, facts);
  const time = workingTimeOf(setups, { line, station: null }, history.floorTime);

  it.each([7, 5, 2, 1, 0.2])('over %f days until each of three ends is the projection from what really was', (days) => {
    for (const to of [NOW, NOW - 3.3 * MS_PER_DAY, NOW - 6.1 * MS_PER_DAY]) {
      const from = to - days * MS_PER_DAY;
      const told = lineDelay(history, from, to);
      const exits = new Map(projectLine(history, deriveVisits(history, to), to).map(({ unit, exit }) => [unit, time.workingBetween(from, exit)]));
      const stillComing = told.exits.filter(({ unit }) => exits.has(unit));
      expect(stillComing.length).toBeGreaterThan(0);
      for (const { unit, built } of stillComing) expect([unit, Math.abs(built - exits.get(unit)!) < 1e-3]).toEqual([unit, true]);
      expect(told.causes.reduce((sum, { lineMinutes }) => sum + lineMinutes, 0)).toBeCloseTo(told.totalMinutes, 9);
      expect(told.causes.every(({ localMinutes, lineMinutes }) => Number.isFinite(localMinutes) && Number.isFinite(lineMinutes))).toBe(true);
    }
  });

  it('has, of those that left, the real exit', () => {
    const from = NOW - 7 * MS_PER_DAY;
    const { exits } = lineDelay(history, from, NOW);
    const last = plant.lines.find(({ code }) => code === line)!.stations.at(-1)!.code;
    for (const { unit, built } of exits) {
      const left = history.units.find((own) => own.unit === unit)!.stays.find((stay) => stay.station === last)?.left ?? null;
      if (left !== null && left <= NOW) expect([unit, built]).toEqual([unit, expect.closeTo(time.workingBetween(from, left), 6)]);
    }
  });

  it('of a week by shift is the sum of its days, each against the plan of its own morning', () => {
    const shifts = lineDelayByShift(history, NOW - 7 * MS_PER_DAY, NOW);
    expect(shifts.map(({ date }) => date)).toEqual([...new Set(shifts.map(({ date }) => date))].sort());
    expect(shifts.length).toBeGreaterThanOrEqual(5);
    shifts.slice(1).forEach((shift, i) => expect(shifts[i]!.delay.to).toBe(shift.delay.from));
    const days = sumsByDay(shifts);
    const week = sumOfShifts(shifts);
    for (const name of ['totalMinutes', 'lostMinutes', 'inPipeMinutes', 'unitMinutesLate'] as const) {
      expect(days.reduce((sum, day) => sum + day[name], 0)).toBeCloseTo(week[name], 9);
    }
    expect(week.lostMinutes + week.inPipeMinutes).toBeCloseTo(week.totalMinutes, 9);
  });
});
