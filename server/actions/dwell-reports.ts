import { type DwellReply, type MarksReply, MOST_VISITS, type ReportOf, type ScansReply, type VisitsReply } from '../contract/dwell.ts';
import { dimensionsOf, type DwellQuery, type VisitsQuery } from '../contract/dwell-query.ts';
import { StationhandError } from '../contract/errors.ts';
import type { MarksQuery } from '../contract/marks-query.ts';
import { daysOf, type PeriodQuery } from '../contract/period-query.ts';
import { workingTimeOf } from '../core/calendar/working-time.ts';
import { localOf } from '../core/calendar/zone.ts';
import { BEFORE_MS, type DwellInput } from '../core/rates/dwell-input.ts';
import { reportPeriod } from '../core/rates/report-period.ts';
import { delayCausesTable, dwellTable, scanHabitsTable, scanMarksTable, visitsBehindTable } from '../core/rates/report-tables.ts';
import type { ScanHabit } from '../core/rates/scan-habits.ts';
import type { VisitBehind } from '../core/rates/visits-behind.ts';
import { findLine, setupAt } from '../core/setup/setup-at.ts';
import type { Table } from '../core/tables/table.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { visitsReaching } from '../store/derived/visits.ts';
import { lastAnswers } from './last-answers.ts';
import { lineHistoryBetween } from './line-history.ts';
import { lineNow } from './line-now.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { PlantMemories } from './plant-memories.ts';
import type { Workers } from './workers.ts';

/** Reports over the visits of a line. They throw `unknownPlant`, `unknownLine`, and `tooBusy` when too many wait. */
export interface DwellReports {
  dwell(plant: string, line: string, query: DwellQuery): Promise<DwellReply>;
  dwellTable(plant: string, line: string, query: DwellQuery): Promise<Table>;
  causesTable(plant: string, line: string, query: DwellQuery): Promise<Table>;
  visits(plant: string, line: string, query: VisitsQuery): Promise<VisitsReply>;
  visitsTable(plant: string, line: string, query: VisitsQuery): Promise<Table>;
  scans(plant: string, line: string, query: PeriodQuery): Promise<ScansReply>;
  scansTable(plant: string, line: string, query: PeriodQuery): Promise<Table>;
  marks(plant: string, line: string, query: MarksQuery): Promise<MarksReply>;
  marksTable(plant: string, line: string, query: MarksQuery): Promise<Table>;
}

interface Parts {
  db: Db;
  memories: PlantMemories;
  workers: Workers;
  minutesTold(plant: string): Promise<void>;
  now(): Instant;
}

type Loaded = { input: DwellInput; told: ReportOf; memory: PlantMemory };

export function createDwellReports(parts: Parts): DwellReports {
  const { workers } = parts;
  const kept = lastAnswers();
  /** Answers of the same log in the same minute are told once: a file holds what the screen shows. */
  const once = async <T>(name: string, plant: string, line: string, query: PeriodQuery, make: (loaded: Loaded) => Promise<T>): Promise<T> => {
    const { version, setupVersion } = await parts.memories.upToDate(plant);
    const key = JSON.stringify([name, plant, line, query, version, setupVersion, Math.floor(parts.now() / 60_000)]);
    return kept(key, async () => make(await load(parts, plant, line, query)));
  };
  const dwell = (plant: string, line: string, query: DwellQuery): Promise<DwellReply> => once('dwell', plant, line, query, async ({ input, told }) => {
    const { station, model, shift, by, sort, measure } = query;
    return { ...told, ...await workers.run('dwellReportOf', { ...input, filter: { station, model, shift }, by: dimensionsOf(by), sort, measure }) };
  });
  const visits = (plant: string, line: string, query: VisitsQuery): Promise<ReportOf & { visits: VisitBehind[] }> => once('visits', plant, line, query, async ({ input, told }) => {
    const { station, model, shift, of, week, kind, reason } = query;
    return { ...told, visits: await workers.run('visitsBehindOf', { ...input, filter: { station, model, shift }, of, week, kind, reason }) };
  });
  const habits = (plant: string, line: string, { period, from, to }: PeriodQuery): Promise<ReportOf & { habits: ScanHabit[] }> => once('scans', plant, line, { period, from, to }, async ({ input, told, memory }) => {
    const { begins, ends } = input.period;
    return { ...told, habits: await workers.run('scanHabitsOf', { ...input, facts: memory.unitFactsBetween(begins, ends) }) };
  });
  const marked = async (plant: string, line: string, query: MarksQuery): Promise<ReportOf & { habits: ScanHabit[] }> => {
    const all = await habits(plant, line, query);
    const shift = query.shift === '-' ? '' : query.shift;
    const own = all.habits.filter((habit) => (query.station === '' || habit.station === query.station) && (query.shift === '' || habit.shift === shift));
    return { ...all, habits: own.map((habit) => ({ ...habit, facts: habit.facts.filter(({ kind }) => query.kind === '' || kind === query.kind) })) };
  };
  return {
    dwell,
    async scans(plant, line, query) {
      const all = await habits(plant, line, query);
      return { ...all, habits: all.habits.map(({ facts: _, ...habit }) => habit) };
    },
    async marks(plant, line, query) {
      const { habits: own, ...told } = await marked(plant, line, query);
      const marks = own.flatMap(({ facts }) => facts.toSorted((a, b) => (a.at ?? 0) - (b.at ?? 0)));
      return { ...told, count: marks.length, marks: marks.slice(0, MOST_VISITS) };
    },
    async visits(plant, line, query) {
      const all = await visits(plant, line, query);
      return { ...all, count: all.visits.length, visits: all.visits.slice(0, MOST_VISITS) };
    },
    async dwellTable(plant, line, query) {
      const { rows, timeZone } = await dwell(plant, line, query);
      return dwellTable(rows, timeZone);
    },
    async causesTable(plant, line, query) {
      const { causes, timeZone } = await dwell(plant, line, query);
      return delayCausesTable(causes, timeZone);
    },
    async visitsTable(plant, line, query) {
      const all = await visits(plant, line, query);
      return visitsBehindTable(all.visits, all.timeZone);
    },
    async scansTable(plant, line, query) {
      const told = await habits(plant, line, query);
      return scanHabitsTable(told.habits, told.timeZone);
    },
    async marksTable(plant, line, query) {
      const told = await marked(plant, line, query);
      return scanMarksTable(told.habits, told.timeZone);
    },
  };
}

async function load({ db, memories, minutesTold, now }: Parts, plant: string, line: string, query: PeriodQuery): Promise<Loaded> {
  const memory = await memories.upToDate(plant);
  const at = now();
  const setup = setupAt(memory.setups, at)?.plant;
  if (!setup || !findLine(setup, line)) throw new StationhandError('unknownLine', { what: `The plant has no line ${line}.` });
  const { timeZone } = setup;
  const { first, last } = daysOf(query, localOf(timeZone, at).date);
  const time = workingTimeOf(memory.setups, { line, station: null }, memory.places.floorTime);
  const period = reportPeriod(time, timeZone, first, last, at);
  const { begins, ends } = period;
  await minutesTold(plant);
  const ended = ends <= begins ? [] : await visitsReaching(db, plant, line, begins, ends);
  const open = ends <= begins ? [] : [...lineNow(memory, line, at).visits.values()].filter((visit) => visit.arrived! < ends);
  const history = lineHistoryBetween(memory, line, begins - BEFORE_MS, ends);
  const filter = { station: '', model: '', shift: '' };
  return { input: { history, visits: [...ended, ...open], at, period, filter }, told: { at, line, timeZone, period }, memory };
}
