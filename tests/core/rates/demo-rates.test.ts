import { describe, expect, it } from 'vitest';
import { demoPlant, simulateDemo } from '../../../seed/load-demo.ts';
import { foldUnits, lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { countAgainstPlan, datesOfMonth, planDays } from '../../../server/core/rates/count-plan.ts';
import { countPassages, countPointsOf } from '../../../server/core/rates/count-points.ts';
import { delayCauses } from '../../../server/core/rates/delay-causes.ts';
import { dwellRows } from '../../../server/core/rates/dwell-and-delay.ts';
import { lineConstraints } from '../../../server/core/rates/line-constraint.ts';
import { scanHabits } from '../../../server/core/rates/scan-habits.ts';
import { visitRecords } from '../../../server/core/rates/visit-records.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';

const NOW = Date.parse('2026-11-25T23:40:00Z');
const DAY = 86_400_000;
const plant = demoPlant(NOW);
const setups = [{ version: 1, validFrom: NOW - 60 * DAY, plant }];
const facts = simulateDemo({ plant, now: NOW, seed: 7, speed: 1 }, 14).factsUntil(NOW);
const units = foldUnits(facts, setups);
const history = lineHistoryOf('MAIN', setups, facts);
const visits = deriveVisits(history, NOW);
const records = visitRecords(history, visits, 0, NOW + 1);

describe('two weeks of the demo plant', () => {
  it('have a line for every station with work, and causes that add up to the station delay', () => {
    const rows = dwellRows(records, ['station']);
    expect(rows.map(({ station }) => station).sort()).toEqual(plant.lines[0]!.stations.map(({ code }) => code).sort());
    const [whole] = dwellRows(records, []);
    const causes = delayCauses(history, records);
    expect(causes.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(whole!.stationDelay!.sum, 3);
    expect(causes.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['hold', 'stop', 'overStandard', 'rollLag']));
    // Every hold and stop that cost a minute leads to a fact of the log.
    const known = new Set(facts.map(({ id }) => id));
    expect(causes.flatMap((cause) => cause.facts).filter((id) => !known.has(id))).toEqual([]);
  });

  it('have a constraint that is a station of the line and was starved and blocked least', () => {
    const [constraint] = lineConstraints(history, visits, NOW, [{ from: NOW - 7 * DAY, to: NOW }]);
    const lost = constraint!.loads.map(({ starved, idle, blocked }) => starved + idle + blocked);
    expect(constraint!.loads[lost.indexOf(Math.min(...lost))]!.station).toBe(constraint!.station);
  });

  it('count no more units at a later point than at an earlier one, each leading to a fact of the log', () => {
    const known = new Set(facts.map(({ id }) => id));
    const passages = countPointsOf(plant).map((point) => countPassages(point, setups, units, facts, NOW));
    expect(passages.map((own) => own.length)).toEqual([...passages.map((own) => own.length)].sort((a, b) => b - a));
    expect(passages.at(-1)!.length).toBeGreaterThan(20);
    for (const own of passages) expect(own.filter(({ by }) => !known.has(by))).toEqual([]);
    // The last point is what the fold says of shipped units.
    expect(passages.at(-1)!.map(({ unit }) => unit).sort()).toEqual([...units.values()].filter(({ state }) => state.shipped !== null).map(({ state }) => state.unit).sort());
    const told = countAgainstPlan(passages[0]!, planDays(setups, datesOfMonth('2026-11-25'), NOW));
    expect(told.counted).toBe(passages[0]!.filter(({ date }) => date.startsWith('2026-11')).length);
    expect(told.planned).toBeGreaterThan(told.plannedByNow);
  });

  it('were scanned well: nothing bunched, more than nine of ten scans good', () => {
    const habits = scanHabits(facts.map((fact, i) => ({ ...fact, recorded: fact.happened, seq: i + 1 })), history, visits, 0, NOW + 1);
    const total = (of: (habit: (typeof habits)[number]) => number): number => habits.reduce((sum, habit) => sum + of(habit), 0);
    expect(total((habit) => habit.marks.bunched)).toBe(0);
    expect(total((habit) => habit.good) / total((habit) => habit.scans + habit.missing)).toBeGreaterThan(0.9);
    expect(total((habit) => habit.missing)).toBe(visits.filter((visit) => visit.notScanned || visit.finishAssumed).length);
  });
});
