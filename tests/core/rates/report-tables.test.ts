import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { countAgainstPlan, datesOfMonth, planDays } from '../../../server/core/rates/count-plan.ts';
import { countPassages, countPointsOf } from '../../../server/core/rates/count-points.ts';
import { delayCauses } from '../../../server/core/rates/delay-causes.ts';
import { dwellRows } from '../../../server/core/rates/dwell-and-delay.ts';
import { countTable, delayCausesTable, dwellTable, scanHabitsTable, scanMarksTable, visitsTable } from '../../../server/core/rates/report-tables.ts';
import { scanHabits } from '../../../server/core/rates/scan-habits.ts';
import { visitRecords } from '../../../server/core/rates/visit-records.ts';
import { foldUnits } from '../../../server/core/facts/line-history-of.ts';
import { checkTable, type Table } from '../../../server/core/tables/table.ts';
import { type FloorDays, floorDays, setups } from '../../support/floor-days.ts';

function tablesOf({ facts, history, visits, at }: FloorDays): Record<'dwell' | 'visits' | 'causes' | 'count' | 'habits' | 'marks', Table> {
  const records = visitRecords(history, visits, 0, at + 1);
  const habits = scanHabits(facts.map((fact, i) => ({ ...fact, recorded: fact.happened, seq: i + 1 })), history, visits, 0, at + 1);
  const [offLine] = countPointsOf(setups[0]!.plant);
  const passages = countPassages(offLine!, setups, foldUnits(facts, setups), facts, at);
  return {
    dwell: dwellTable(dwellRows(records, ['station', 'model']), 'UTC'), visits: visitsTable(records, 'UTC'), causes: delayCausesTable(delayCauses(history, records).map((cause) => ({ ...cause, visits: cause.keys.length })), 'UTC'),
    count: countTable(countAgainstPlan(passages, planDays(setups, datesOfMonth('2026-06-01'), at)), 'Off the line', 'UTC'), habits: scanHabitsTable(habits, 'UTC'), marks: scanMarksTable(habits, 'UTC'),
  };
}

const total = ({ columns, rows }: Table, name: string): number => rows.reduce((sum, row) => sum + Number(row[columns.findIndex((column) => column.name === name)] ?? 0), 0);

describe('the tables of the reports', () => {
  it('fit their columns, name each once, and agree with each other', () => {
    fc.assert(fc.property(floorDays, (days) => {
      const tables = tablesOf(days);
      for (const table of Object.values(tables)) {
        checkTable(table);
        expect(new Set(table.columns.map(({ name }) => name)).size).toBe(table.columns.length);
      }
      const { dwell, visits, causes, count, habits, marks } = tables;
      expect(total(dwell, 'visits') + total(dwell, 'not_scanned') + total(dwell, 'provisional')).toBe(visits.rows.length);
      expect(total(dwell, 'station_delay_sum')).toBeCloseTo(total(causes, 'station_delay'), 6);
      expect(total(causes, 'share')).toBeCloseTo(causes.rows.length === 0 ? 0 : 1, 9);
      expect(count.rows).toHaveLength(30);
      expect(marks.rows).toHaveLength(['not_scanned', 'finish_assumed', 'bunched', 'told', 'recorded_late'].reduce((sum, name) => sum + total(habits, name), 0));
    }), { numRuns: 60 });
  });

  it('tell nothing, not 0, of a visit that was not scanned', () => {
    fc.assert(fc.property(floorDays, (days) => {
      const { columns, rows } = tablesOf(days).visits;
      const [standing, dwell, arrived] = ['standing', 'dwell', 'arrived'].map((name) => columns.findIndex((column) => column.name === name));
      for (const row of rows) expect([row[dwell!] === null, row[arrived!] === null]).toEqual(Array<boolean>(2).fill(row[standing!] === 'notScanned'));
    }), { numRuns: 40 });
  });
});
